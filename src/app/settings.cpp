#include "steelyard/app/settings.hpp"

#include <cstdlib>
#include <string_view>

#include "app/files.hpp"

namespace steelyard::app {
namespace {

/// The folder that a variable names by an absolute path, else one below the home; empty without a home.
std::string base_folder(const char* variable, std::string_view below_home) {
  const char* named = std::getenv(variable);
  if (named != nullptr && *named == '/') return named;
  const char* home = std::getenv("HOME");
  if (home == nullptr || *home == '\0') return {};
  return std::string(home) + '/' + std::string(below_home);
}

}  // namespace

std::string default_settings_file() {
  const std::string folder = base_folder("XDG_CONFIG_HOME", ".config");
  return folder.empty() ? folder : folder + "/steelyard/steelyard.ini";
}

Result<std::string> read_settings(const std::string& path) {
  return read_whole_file(path);
}

Result<std::string> store_file(const std::optional<std::string>& data) {
  if (data && store::is_server_address(*data)) {
    return fail(Errc::usage,
                "the store is on a PostgreSQL server: its own tools copy and check it (pg_dump, pg_amcheck), "
                "'steelyard move' copies it into a file");
  }
  if (data) return *data;
  const std::string folder = base_folder("XDG_DATA_HOME", ".local/share");
  if (folder.empty()) return fail(Errc::usage, "there is no home folder for the store: name a file with --data");
  return folder + "/steelyard/steelyard.db";
}

Result<std::unique_ptr<store::Store>> open_store(const std::optional<std::string>& data) {
  if (data && store::is_server_address(*data)) return store::open_postgres_store(*data);
  STEELYARD_TRY_ASSIGN(const std::string file, store_file(data));
  return store::open_sqlite_store(file);
}

}  // namespace steelyard::app
