#pragma once
/// The tables of the ten kinds of row, made from the descriptions in fields.hpp, and the statements that work on them.
/// KIND       the fields, position (plan, sets), entry = who wrote the row, seen = the last entry that named it
/// old_KIND   changed_by = the entry that replaced or removed the row, seq = which change of that entry, then as KIND
/// held_KIND  question, place = which row of that question, then the fields and position as entered

#include <fmt/core.h>

#include <array>
#include <optional>
#include <tuple>
#include <utility>
#include <variant>

#include "store/columns.hpp"

namespace steelyard::store {

template <class R>
inline constexpr bool k_has_part = requires(R r) {
  r.part;
};
template <class R>
inline constexpr bool k_has_position = requires(R r) {
  r.position;
};

template <class R, std::size_t i = 0>
[[nodiscard]] constexpr RecordKind record_kind() {
  if constexpr (std::is_same_v<R, std::variant_alternative_t<i, Record>>) {
    return static_cast<RecordKind>(i);
  } else {
    return record_kind<R, i + 1>();
  }
}

/// Calls f.operator()<R>() for each kind of record until one fails.
template <class F, std::size_t i = 0>
[[nodiscard]] Result<void> for_each_kind(F&& f) {
  if constexpr (i < std::variant_size_v<Record>) {
    STEELYARD_TRY((f.template operator()<std::variant_alternative_t<i, Record>>()));
    return for_each_kind<F, i + 1>(std::forward<F>(f));
  } else {
    return {};
  }
}

/// Name of the kind's table: its word with '_' for '-'.
template <class R>
[[nodiscard]] std::string table() {
  std::string name(word(record_kind<R>()));
  for (char& c : name) {
    if (c == '-') c = '_';
  }
  return name;
}

/// Where a row stands: its definite part and its position, for the kinds that have them.
struct Place {
  int part = 1;
  int position = 0;
};
template <class R>
[[nodiscard]] Place place_of(const R& r) {
  Place place;
  if constexpr (k_has_part<R>) place.part = r.part.value_or(1);
  if constexpr (k_has_position<R>) place.position = r.position;
  return place;
}

template <class R>
struct Key;
template <>
struct Key<Athlete> {
  static constexpr std::array names{"athlete"};
  static auto of(const Athlete& r, Place) { return std::tuple(std::string_view(r.athlete)); }
};
template <>
struct Key<TrainingMax> {
  static constexpr std::array names{"athlete", "lift", "from"};
  static auto of(const TrainingMax& r, Place) {
    return std::tuple(std::string_view(r.athlete), std::string_view(r.lift), day_number(r.from));
  }
};
template <>
struct Key<PlanRow> {
  static constexpr std::array names{"athlete", "date", "lift", "position"};
  static auto of(const PlanRow& r, Place at) {
    return std::tuple(std::string_view(r.athlete), day_number(r.date), std::string_view(r.lift), at.position);
  }
};
template <>
struct Key<Period> {
  static constexpr std::array names{"athlete", "group", "from"};
  static auto of(const Period& r, Place) {
    return std::tuple(std::string_view(r.athlete), std::string_view(r.group), day_number(r.from));
  }
};
template <>
struct Key<DaysOff> {
  static constexpr std::array names{"athlete", "from"};
  static auto of(const DaysOff& r, Place) { return std::tuple(std::string_view(r.athlete), day_number(r.from)); }
};
template <>
struct Key<Session> {
  static constexpr std::array names{"athlete", "date", "part"};
  static auto of(const Session& r, Place at) {
    return std::tuple(std::string_view(r.athlete), day_number(r.date), at.part);
  }
};
template <>
struct Key<SetRow> {
  static constexpr std::array names{"athlete", "date", "part", "position"};
  static auto of(const SetRow& r, Place at) {
    return std::tuple(std::string_view(r.athlete), day_number(r.date), at.part, at.position);
  }
};
template <>
struct Key<Check> {
  static constexpr std::array names{"athlete", "date"};
  static auto of(const Check& r, Place) { return std::tuple(std::string_view(r.athlete), day_number(r.date)); }
};
template <>
struct Key<BarSpeed> {
  static constexpr std::array names{"athlete", "date", "lift", "percent"};
  static auto of(const BarSpeed& r, Place) {
    return std::tuple(std::string_view(r.athlete), day_number(r.date), std::string_view(r.lift), r.percent);
  }
};
template <>
struct Key<Clearance> {
  static constexpr std::array names{"athlete", "date", "caution"};
  static auto of(const Clearance& r, Place) {
    return std::tuple(std::string_view(r.athlete), day_number(r.date), std::string_view(r.caution));
  }
};

/// The kind's columns without entry and seen. Column names are quoted: some are words of SQL.
template <class R>
[[nodiscard]] std::vector<std::string> columns() {
  std::vector<std::string> names;
  R record;
  visit_fields([&](const Column& c, const auto&) { names.push_back(fmt::format("\"{}\"", c.name)); }, record);
  if constexpr (k_has_position<R>) names.emplace_back("\"position\"");
  return names;
}
[[nodiscard]] inline std::string comma_list(const std::vector<std::string>& words) {
  std::string text;
  for (const auto& w : words) text += (text.empty() ? "" : ", ") + w;
  return text;
}
template <class R>
[[nodiscard]] std::string column_list() {
  return comma_list(columns<R>());
}
template <class R>
[[nodiscard]] std::string key_list() {
  std::vector<std::string> names;
  for (const auto* name : Key<R>::names) names.push_back(fmt::format("\"{}\"", name));
  return comma_list(names);
}
/// "?1, ?2 .. ?n"
[[nodiscard]] inline std::string marks(std::size_t count) {
  std::string text;
  for (std::size_t i = 1; i <= count; ++i) text += fmt::format("{}?{}", i == 1 ? "" : ", ", i);
  return text;
}
/// The row with the key whose values are bound from `first` on.
template <class R>
[[nodiscard]] std::string where_key(int first) {
  std::string text;
  for (const auto* name : Key<R>::names)
    text += fmt::format("{} \"{}\" = ?{}", text.empty() ? "where" : " and", name, first++);
  return text;
}

template <class R>
[[nodiscard]] int column_offset(std::string_view name) {
  int offset = -1;
  int count = 0;
  const R record;
  visit_fields(
      [&](const Column& c, const auto&) {
        if (c.name == name) offset = count;
        ++count;
      },
      record);
  return offset;
}
/// Binds the fields as they are from `first` on; the result is the next free index.
template <class R>
int bind_fields(Statement& s, int first, const R& r) {
  visit_fields([&](const Column&, const auto& member) { bind_value(s, first++, member); }, r);
  return first;
}
/// Binds the columns of column_list() with the row's definite place.
template <class R>
int bind_row(Statement& s, int first, const R& r, Place at) {
  int next = bind_fields(s, first, r);
  if constexpr (k_has_part<R>) {
    static const int offset = column_offset<R>("part");
    s.bind(first + offset, at.part);
  }
  if constexpr (k_has_position<R>) s.bind(next++, at.position);
  return next;
}
template <class R>
void bind_key(Statement& s, int first, const R& r, Place at) {
  std::apply([&](const auto&... part) { (s.bind(first++, part), ...); }, Key<R>::of(r, at));
}
/// Reads the columns of column_list() from `first` on. errors  bad_data
template <class R>
[[nodiscard]] Result<void> read_row(const Statement& s, int first, R& r) {
  std::string_view wrong;
  visit_fields(
      [&](const Column& column, auto& member) {
        if (!read_value(s, first++, member)) wrong = column.name;
      },
      r);
  if constexpr (k_has_position<R>) r.position = static_cast<int>(s.integer(first));
  if (wrong.empty()) return {};
  return fail(Errc::bad_data, fmt::format("the store is damaged: a {} in {} cannot be read; put a backup in its place",
                                          wrong, table<R>()));
}

/// Equal in everything that the person entered; part and position are the store's own.
template <class R>
[[nodiscard]] bool same_entry(R stored, const R& entered) {  // NOLINT(performance-unnecessary-value-param): is changed
  if constexpr (k_has_part<R>) stored.part = entered.part;
  if constexpr (k_has_position<R>) stored.position = entered.position;
  return stored == entered;
}

/// The statements of one kind.
template <class R>
class Rows {
 public:
  explicit Rows(Database& db)
      : db_(db),
        add_(db, insert_sql() + "do nothing"),
        add_new_(db.prepare_bulk(table<R>(), column_list<R>() + ", entry, seen")),
        overwrite_(db, insert_sql() + "do update set " + updates()),
        find_(db, fmt::format("select {}, seen from {} {}", column_list<R>(), table<R>(), where_key<R>(1))),
        keep_(
            db,
            fmt::format(
                "insert into old_{0} (changed_by, seq, {1}, entry, seen) select ?1, ?2, {1}, entry, seen from {0} {2}",
                table<R>(), column_list<R>(), where_key<R>(3))),
        remove_(db, fmt::format("delete from {} {}", table<R>(), where_key<R>(1))),
        mark_(db, fmt::format("update {} set seen = ?1 {}", table<R>(), where_key<R>(2))) {}

  /// false = there is a row with this key, and nothing was done.
  [[nodiscard]] Result<bool> add(const R& r, Place at, std::int64_t entry) {
    STEELYARD_TRY(write(add_, r, at, entry));
    return db_.changes() > 0;
  }
  /// For a row whose key is known to be new.
  [[nodiscard]] Result<void> add_new(const R& r, Place at, std::int64_t entry) { return write(add_new_, r, at, entry); }
  [[nodiscard]] Result<void> overwrite(const R& r, Place at, std::int64_t entry) {
    return write(overwrite_, r, at, entry);
  }

  struct Found {
    R row;
    std::int64_t seen = 0;
  };
  [[nodiscard]] Result<std::optional<Found>> find(const R& r, Place at) {
    bind_key(find_, 1, r, at);
    STEELYARD_TRY_ASSIGN(const bool row, find_.step());
    if (!row) return std::nullopt;
    Found found;
    const auto read = read_row(find_, 0, found.row);
    found.seen = find_.integer(width_);
    find_.reset();
    STEELYARD_TRY(read);
    return found;
  }
  /// Copies the row to the history. false = there is no such row.
  [[nodiscard]] Result<bool> keep(std::int64_t by, std::int64_t seq, const R& r, Place at) {
    bind_key(keep_.with(by, seq), 3, r, at);
    STEELYARD_TRY(keep_.run());
    return db_.changes() > 0;
  }
  [[nodiscard]] Result<void> remove(const R& r, Place at) {
    bind_key(remove_, 1, r, at);
    return remove_.run();
  }
  [[nodiscard]] Result<void> mark(const R& r, Place at, std::int64_t entry) {
    bind_key(mark_.with(entry), 2, r, at);
    return mark_.run();
  }

 private:
  static std::string insert_sql() {
    return fmt::format("insert into {} ({}, entry, seen) values ({}) on conflict ({}) ", table<R>(), column_list<R>(),
                       marks(columns<R>().size() + 2), key_list<R>());
  }
  /// Key columns stay out: naming one would make SQLite look for rows that refer to the old key.
  static std::string updates() {
    std::string text = "entry = excluded.entry, seen = excluded.seen";
    const std::string key = key_list<R>();
    for (const auto& name : columns<R>()) {
      if (key.find(name) == std::string::npos) text += fmt::format(", {0} = excluded.{0}", name);
    }
    return text;
  }
  Result<void> write(Statement& s, const R& r, Place at, std::int64_t entry) {
    const int next = bind_row(s, 1, r, at);
    s.bind(next, entry).bind(next + 1, entry);
    return s.run();
  }

  Database& db_;
  int width_ = static_cast<int>(columns<R>().size());
  Statement add_;
  Statement add_new_;
  Statement overwrite_;
  Statement find_;
  Statement keep_;
  Statement remove_;
  Statement mark_;
};

/// A T<R> for each kind R of row, made when it is first asked for: who only reads needs none of them.
template <template <class> class T, class Kinds = Record>
class PerKind;
template <template <class> class T, class... Kinds>
class PerKind<T, std::variant<Kinds...>> {
 public:
  template <class R>
  [[nodiscard]] T<R>& of(Database& db) {
    auto& one = std::get<std::optional<T<R>>>(all_);
    if (!one) one.emplace(db);
    return *one;
  }

 private:
  std::tuple<std::optional<T<Kinds>>...> all_;
};

}  // namespace steelyard::store
