#include "steelyard/store/move.hpp"

#include <fmt/core.h>

#include <bit>
#include <filesystem>

#include "store/postgres_store.hpp"
#include "store/sqlite_store.hpp"
#include "store/tables.hpp"

namespace steelyard::store {
namespace {

/// A sum over rows, so that their order does not matter. Two lanes of 64 bits: FNV-1a with different beginnings, each
/// finished by the mixing steps of Steele, Lea and Flood (2014).
class RowSum {
 public:
  void number(std::int64_t value) { add_number('i', std::bit_cast<std::uint64_t>(value)); }
  void real(double value) { add_number('r', value == 0 ? 0 : std::bit_cast<std::uint64_t>(value)); }  // -0 is 0
  void text(char type, std::string_view value) {
    add_number(type, value.size());
    for (const char c : value) byte(static_cast<unsigned char>(c));
  }
  void blank() { byte('n'); }
  void end_row() {
    for (int i = 0; i < 2; ++i) {
      sum_[i] += mixed(row_[i]);
      row_[i] = k_begin[i];
    }
    ++rows_;
  }
  [[nodiscard]] std::int64_t rows() const { return rows_; }
  [[nodiscard]] std::string digest() const { return fmt::format("{:016x}{:016x}", sum_[0], sum_[1]); }

 private:
  static constexpr std::uint64_t k_begin[2] = {0xcbf29ce484222325ULL, 0x9e3779b97f4a7c15ULL};

  void byte(unsigned value) {
    for (auto& lane : row_) lane = (lane ^ value) * 0x100000001b3ULL;
  }
  void add_number(char type, std::uint64_t value) {
    byte(static_cast<unsigned char>(type));
    for (unsigned shift = 0; shift < 64; shift += 8) byte(static_cast<unsigned>((value >> shift) & 0xFFU));
  }
  static std::uint64_t mixed(std::uint64_t x) {
    x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    x = (x ^ (x >> 27U)) * 0x94d049bb133111ebULL;
    return x ^ (x >> 31U);
  }

  std::uint64_t row_[2] = {k_begin[0], k_begin[1]};
  std::uint64_t sum_[2] = {0, 0};
  std::int64_t rows_ = 0;
};

Result<std::unique_ptr<Database>> open(const std::string& place) {
  return is_server_address(place) ? open_postgres_database(place, k_wait) : open_sqlite_database(place, k_wait);
}

/// Walks a table; each row goes into the sum and, if there is one, to the other store.
Result<RowSum> walk(Database& db, const Table& table, Database* to) {
  RowSum sum;
  Statement select(db.prepare_walk(fmt::format("select {} from {}", table.column_list(), table.name)));
  std::optional<Statement> add;
  if (to != nullptr) add.emplace(to->prepare_bulk(table.name, table.column_list()));
  const auto take = [&](int i, CellType type) {
    if (select.is_null(i)) {
      sum.blank();
      if (add) add->bind(i + 1, nullptr);
    } else if (type == CellType::integer) {
      const auto value = select.integer(i);
      sum.number(value);
      if (add) add->bind(i + 1, value);
    } else if (type == CellType::real) {
      const auto value = select.real(i);
      sum.real(value);
      if (add) add->bind(i + 1, value);
    } else if (type == CellType::text) {
      const auto value = select.text(i);
      sum.text('t', value);
      if (add) add->bind(i + 1, value);
    } else {
      const auto value = select.text(i);
      sum.text('b', value);
      if (add) add->bind_bytes(i + 1, value);
    }
  };
  STEELYARD_TRY(each(select, [&]() -> Result<void> {
    int i = 0;
    for (const auto& column : table.columns) take(i++, column.type);
    sum.end_row();
    return add ? add->run() : Result<void>{};
  }));
  return sum;
}

Result<void> expect_empty(Database& db) {
  for (const Table& table : contents_tables()) {
    STEELYARD_TRY_ASSIGN(const auto rows,
                         db.number(fmt::format("select count(*) from (select 1 from {} limit 1) as t", table.name)));
    if (rows > 0) {
      return fail(
          Errc::not_allowed,
          fmt::format("the target holds something already (in {}); name an empty or a new one with --to", table.name),
          db.where());
    }
  }
  return {};
}

Result<void> copy_numbers(Database& from, Database& to) {
  for (const auto* name : k_drawn_numbers) {
    STEELYARD_TRY_ASSIGN(const auto last, from.last_number(name));
    STEELYARD_TRY(to.set_last_number(name, last));
  }
  if (!to.dialect().is_server) return {};
  for (const auto* name : k_counted_numbers) {
    STEELYARD_TRY_ASSIGN(const auto last, to.number(fmt::format("select coalesce(max(id), 0) from {}", name)));
    STEELYARD_TRY(to.set_last_number(name, last));
  }
  return {};
}

Result<Move> copy(Database& from, Database& to) {
  Move move{.from = from.where(), .to = to.where(), .tables = {}, .rows = 0, .digest = {}};
  RowSum all;
  Snapshot snapshot(from);
  STEELYARD_TRY(snapshot.begin());
  Transaction work(to);
  STEELYARD_TRY(work.begin_alone());
  STEELYARD_TRY(expect_empty(to));
  STEELYARD_TRY(to.set_large_work(true));
  for (const Table& table : contents_tables()) {
    STEELYARD_TRY_ASSIGN(const RowSum read, walk(from, table, &to));
    STEELYARD_TRY_ASSIGN(const RowSum written, walk(to, table, nullptr));
    if (read.rows() != written.rows() || read.digest() != written.digest()) {
      return fail(Errc::failed, fmt::format("the copy of {} differs from its source; nothing of it stays", table.name),
                  to.where());
    }
    move.tables.push_back({table.name, read.rows(), read.digest()});
    move.rows += read.rows();
    all.text('t', table.name);
    all.text('t', read.digest());
    all.end_row();
  }
  STEELYARD_TRY(copy_numbers(from, to));
  STEELYARD_TRY(work.commit());
  move.digest = all.digest();
  return move;
}

}  // namespace

Result<Move> move_store(const std::string& from, const std::string& to) {
  if (from == to) return fail(Errc::usage, "source and target are the same store");
  std::error_code ignored;
  if (!is_server_address(from) && !std::filesystem::exists(from, ignored)) {
    return fail(Errc::no_input, "there is no store here", from);
  }
  STEELYARD_TRY_ASSIGN(const auto source, open(from));
  STEELYARD_TRY_ASSIGN(const auto target, open(to));
  return copy(*source, *target);
}

}  // namespace steelyard::store
