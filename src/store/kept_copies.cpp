#include "store/kept_copies.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <filesystem>

#include "store/file_copy.hpp"
#include "store/schema.hpp"
#include "store/sqlite_store.hpp"

namespace steelyard::store {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view k_before = ".before-";
constexpr std::string_view k_digits = "0123456789";

/// A link that leads nowhere takes a name, too.
bool is_there(const std::string& path) {
  std::error_code code;
  return fs::exists(fs::symlink_status(path, code));
}

/// VERSION or VERSION-NUMBER; a program that was killed while it copied leaves .part-NUMBER behind it.
bool is_end_of_name(std::string_view text) {
  if (const auto part = text.find(k_part); part != std::string_view::npos) {
    const auto number = text.substr(part + k_part.size());
    if (number.empty() || number.find_first_not_of(k_digits) != std::string_view::npos) return false;
    text = text.substr(0, part);
  }
  const auto version = text.substr(0, text.find('-'));
  const auto number = version.size() == text.size() ? "2" : text.substr(version.size() + 1);
  return !version.empty() && version.find_first_not_of(k_digits) == std::string_view::npos && !number.empty() &&
         number.find_first_not_of(k_digits) == std::string_view::npos;
}

Result<std::vector<std::string>> copies_of(const std::string& file) {
  std::error_code code;
  const fs::path path = fs::weakly_canonical(file, code);
  const std::string begin = path.filename().string() + std::string(k_before);
  std::vector<std::string> copies;
  for (fs::directory_iterator all(path.parent_path(), code), end; !code && all != end; all.increment(code)) {
    const std::string name = all->path().filename().string();
    if (name.starts_with(begin) && is_end_of_name(std::string_view(name).substr(begin.size()))) {
      copies.push_back(all->path().string());
    }
  }
  if (code) return fail(Errc::io, fmt::format("the folder cannot be read: {}", code.message()), path.parent_path());
  std::sort(copies.begin(), copies.end());
  return copies;
}

/// Whether any row of any table is about the athlete; the tables may be those of any version.
Result<bool> tells_of(const std::string& copy, std::string_view athlete) {
  SqliteDatabase db;
  STEELYARD_TRY(db.open(copy, k_wait));
  std::vector<std::string> tables;
  Statement names(db,
                  "select m.name from sqlite_schema m join pragma_table_info(m.name) c where m.type = 'table' and "
                  "c.name = 'athlete'");
  STEELYARD_TRY(each(names, [&]() -> Result<void> {
    tables.emplace_back(names.text(0));
    return {};
  }));
  for (const std::string& table : tables) {
    Statement row(db, fmt::format("select 1 from \"{}\" where athlete = ?1", table));
    STEELYARD_TRY_ASSIGN(const bool found, row.with(athlete).exists());
    if (found) return true;
  }
  return false;
}

}  // namespace

Result<std::string> keep_before_migration(const std::string& file) {
  std::error_code ignored;
  const auto own = fs::weakly_canonical(file, ignored);  // beside the file, not beside a link to it
  const std::string first = fmt::format("{}{}{}", ignored ? file : own.string(), k_before, k_schema_version);
  std::string name = first;
  // SQLite would read a log that lies under the copy's name into the copy.
  for (int i = 2; is_there(name) || is_there(name + "-wal"); ++i) name = fmt::format("{}-{}", first, i);
  SqliteDatabase db;  // a connection that writes cannot be copied from; this one sees what it has not changed yet
  STEELYARD_TRY(db.open(file, k_wait));
  STEELYARD_TRY(copy_database(db, name, false));
  return name;
}

Result<std::vector<Error>> copies_with(const std::string& file, std::string_view athlete) {
  std::vector<Error> kept;
  STEELYARD_TRY_ASSIGN(const auto copies, copies_of(file));
  for (const std::string& copy : copies) {
    const auto tells = tells_of(copy, athlete);
    if (!tells) {
      kept.push_back({tells.error().code,
                      fmt::format("this copy of the store cannot be read and may tell of them; look at it, or remove "
                                  "it: {}",
                                  tells.error().what),
                      copy});
    } else if (*tells) {
      kept.push_back(
          {Errc::io, "this copy of the store still tells of them; remove it, or erase them there, too (--data)", copy});
    }
  }
  return kept;
}

}  // namespace steelyard::store
