#include "store/postgres_store.hpp"

#include <dlfcn.h>
#include <fmt/core.h>

#include <filesystem>

#include "store/postgres.hpp"
#include "store/schema.hpp"
#include "store/sql_store.hpp"
#include "store/sqlite_store.hpp"

namespace steelyard::store {
namespace {

/// Among the libraries when it is installed, where one of the programs is, too; else where it was built.
std::string module_file() {
  std::error_code ignored;
  const auto folder = std::filesystem::read_symlink("/proc/self/exe", ignored).parent_path();
  for (const char* libraries : {STEELYARD_LIB_FROM_BIN, "."}) {
    const auto installed = (folder / libraries / STEELYARD_POSTGRES_FILE).lexically_normal();
    if (std::filesystem::exists(installed, ignored)) return installed.string();
  }
  return STEELYARD_BUILT_POSTGRES;
}

/// Loaded when the first address asks for it: libpq and what it needs cost three times the start of the program.
Result<OpenPostgres> module() {
  static const auto loaded = []() -> Result<OpenPostgres> {
    void* library = ::dlopen(module_file().c_str(), RTLD_NOW | RTLD_LOCAL);
    void* found = library == nullptr ? nullptr : ::dlsym(library, k_postgres_entry);
    if (found == nullptr) {
      return fail(
          Errc::unavailable,
          fmt::format("PostgreSQL needs a part of steelyard and the library libpq (Debian: apt install libpq5), "
                      "which cannot be loaded: {}; or name a file with --data FILE",
                      ::dlerror()));
    }
    return reinterpret_cast<OpenPostgres>(found);
  }();
  return loaded;
}

}  // namespace

Result<std::unique_ptr<Database>> connect_postgres(const std::string& url, std::chrono::milliseconds wait) {
  STEELYARD_TRY_ASSIGN(const OpenPostgres open, module());
  Result<std::unique_ptr<Database>> opened = nullptr;
  open(url, wait, opened);
  return opened;
}

Result<std::unique_ptr<Database>> open_postgres_database(const std::string& url, std::chrono::milliseconds wait) {
  STEELYARD_TRY_ASSIGN(auto db, connect_postgres(url, wait));
  STEELYARD_TRY(check_identity(*db));
  STEELYARD_TRY(migrate(*db));
  return db;
}

Result<std::unique_ptr<Store>> open_postgres_store(const std::string& url) {
  STEELYARD_TRY_ASSIGN(auto db, open_postgres_database(url, k_wait));
  return store_over(std::move(db));
}

}  // namespace steelyard::store
