// Statements of the PostgreSQL driver: values to bind, rows to read, lines for COPY.
#include <algorithm>
#include <array>
#include <charconv>
#include <cstdlib>

#include "store/postgres_database.hpp"

namespace steelyard::store {
namespace {

// Numbers of built-in types, as in the server's catalogue pg_type.
constexpr Oid k_int_type = 23;
constexpr Oid k_long_type = 20;
constexpr Oid k_real_type = 701;
constexpr Oid k_text_type = 25;

template <class T>
void print(std::string& text, T number) {
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), number).ptr;
  text.assign(buffer.data(), end);
}

std::string sql_with_dollars(std::string sql) {
  for (std::size_t i = 0; i + 1 < sql.size(); ++i) {
    if (sql[i] == '?' && sql[i + 1] >= '0' && sql[i + 1] <= '9') sql[i] = '$';
  }
  return sql;
}

class PostgresStatement final : public Prepared {
 public:
  PostgresStatement(PostgresDatabase& db, std::string sql, bool walk)
      : db_(&db), sql_(sql_with_dollars(std::move(sql))), walk_(walk) {}
  PostgresStatement(const PostgresStatement&) = delete;
  PostgresStatement& operator=(const PostgresStatement&) = delete;
  ~PostgresStatement() override {
    if (walk_ && answer_) db_->end_walk();
  }

  void bind_text(int index, std::string_view text, bool copy) override {
    Value& value = fresh(index, k_text_type);
    if (copy) value.own = text;
    value.view = text;
    value.is_own = copy;
    value.is_raw = true;
  }
  void bind_bytes(int index, std::string_view bytes) override {
    Value& value = fresh(index, k_bytes_type);
    value.view = bytes;
    value.is_raw = true;
  }
  void bind_real(int index, double value) override { bind_number(index, value, k_real_type); }
  void bind_int(int index, int value) override { bind_number(index, value, k_int_type); }
  void bind_long(int index, std::int64_t value) override { bind_number(index, value, k_long_type); }
  void bind_null(int index) override { fresh(index, 0).is_null = true; }

  [[nodiscard]] Result<bool> step() override {
    decoded_.clear();
    STEELYARD_TRY(walk_ ? walk_on() : move_on());
    if (answer_ && row_ < PQntuples(answer_.get())) return true;
    answer_.reset();
    return false;
  }
  void reset() override {
    if (walk_ && answer_) db_->end_walk();
    answer_.reset();
  }

  [[nodiscard]] bool is_null(int column) const override { return PQgetisnull(answer_.get(), row_, column) != 0; }
  [[nodiscard]] std::int64_t integer(int column) const override { return number<std::int64_t>(column); }
  [[nodiscard]] double real(int column) const override { return number<double>(column); }
  [[nodiscard]] std::string_view text(int column) const override {
    const auto cell = raw(column);
    if (PQftype(answer_.get(), column) != k_bytes_type) return cell;
    return decoded_.emplace(column, bytes_of(cell)).first->second;
  }

 private:
  Value& fresh(int index, Oid type) {
    const auto at = static_cast<std::size_t>(index);
    if (values_.size() < at) values_.resize(at);
    Value& value = values_[at - 1];
    value.type = type;
    value.is_null = false;
    value.is_raw = false;
    value.is_own = false;
    return value;
  }
  template <class T>
  void bind_number(int index, T number, Oid type) {
    Value& value = fresh(index, type);
    print(value.own, number);
    value.is_own = true;
  }

  Result<void> move_on() {
    if (answer_) {
      ++row_;
      return {};
    }
    row_ = 0;
    STEELYARD_TRY_ASSIGN(answer_, db_->execute(sql_, values_));
    return {};
  }
  Result<void> walk_on() {
    row_ = 0;
    if (!answer_) STEELYARD_TRY(db_->start_walk(sql_));
    auto next = db_->next_of_walk();
    answer_.reset();
    if (!next) return tl::make_unexpected(std::move(next).error());
    answer_ = *std::move(next);
    return {};
  }

  [[nodiscard]] std::string_view raw(int column) const {
    return {PQgetvalue(answer_.get(), row_, column),
            static_cast<std::size_t>(PQgetlength(answer_.get(), row_, column))};
  }
  template <class T>
  [[nodiscard]] T number(int column) const {
    const auto cell = raw(column);
    T value{};
    std::from_chars(cell.data(), cell.data() + cell.size(), value);
    return value;
  }
  /// From the form "\x0aff".
  static std::string bytes_of(std::string_view hex) {
    std::string bytes;
    for (std::size_t i = 2; i + 1 < hex.size(); i += 2) {
      unsigned value = 0;
      std::from_chars(hex.data() + i, hex.data() + i + 2, value, 16);
      bytes += static_cast<char>(value);
    }
    return bytes;
  }

  PostgresDatabase* db_;
  std::string sql_;
  bool walk_;
  std::vector<Value> values_;
  Answer answer_;
  int row_ = 0;
  mutable std::map<int, std::string> decoded_;  ///< bytes of the row
};

/// Cells become one line of COPY's text form (documented under "COPY", section "Text Format").
class PostgresBulk final : public Prepared {
 public:
  PostgresBulk(PostgresDatabase& db, std::string target) : db_(&db), target_(std::move(target)) {}

  void bind_text(int index, std::string_view text, bool) override {
    std::string& cell = fresh(index);
    for (const char c : text) {
      switch (c) {
        case '\\':
          cell += "\\\\";
          break;
        case '\t':
          cell += "\\t";
          break;
        case '\n':
          cell += "\\n";
          break;
        case '\r':
          cell += "\\r";
          break;
        default:
          cell += c;
      }
    }
  }
  void bind_bytes(int index, std::string_view bytes) override {
    constexpr std::string_view k_digits = "0123456789abcdef";
    std::string& cell = fresh(index);
    cell = "\\\\x";
    for (const char c : bytes) {
      const auto byte = static_cast<unsigned char>(c);
      cell += k_digits[byte >> 4U];
      cell += k_digits[byte & 15U];
    }
  }
  void bind_real(int index, double value) override { print(fresh(index), value); }
  void bind_int(int index, int value) override { print(fresh(index), value); }
  void bind_long(int index, std::int64_t value) override { print(fresh(index), value); }
  void bind_null(int index) override { fresh(index) = "\\N"; }

  [[nodiscard]] Result<bool> step() override {
    line_.clear();
    for (const auto& cell : cells_) {
      if (&cell != cells_.data()) line_ += '\t';
      line_ += cell;
    }
    line_ += '\n';
    STEELYARD_TRY(db_->add_line(target_, line_));
    return false;
  }
  void reset() override {}
  [[nodiscard]] bool is_null(int) const override { return true; }
  [[nodiscard]] std::int64_t integer(int) const override { return 0; }
  [[nodiscard]] double real(int) const override { return 0; }
  [[nodiscard]] std::string_view text(int) const override { return {}; }

 private:
  std::string& fresh(int index) {
    const auto at = static_cast<std::size_t>(index);
    if (cells_.size() < at) cells_.resize(at);
    cells_[at - 1].clear();
    return cells_[at - 1];
  }

  PostgresDatabase* db_;
  std::string target_;
  std::vector<std::string> cells_;
  std::string line_;
};

}  // namespace

std::unique_ptr<Prepared> make_statement(PostgresDatabase& db, std::string sql, bool walk) {
  return std::make_unique<PostgresStatement>(db, std::move(sql), walk);
}

std::unique_ptr<Prepared> make_bulk(PostgresDatabase& db, std::string target) {
  return std::make_unique<PostgresBulk>(db, std::move(target));
}

}  // namespace steelyard::store
