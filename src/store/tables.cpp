#include "store/tables.hpp"

#include "store/rows.hpp"

namespace steelyard::store {
namespace {

using enum CellType;

CellType cell_type(ColumnType type) {
  switch (type) {
    case ColumnType::integer:
      return integer;
    case ColumnType::real:
      return real;
    default:
      return text;
  }
}

template <class R>
void add_fields(Table& table) {
  const R record;
  visit_fields(
      [&]<class T>(const Column& column, const T&) {
        table.columns.push_back({std::string(column.name), cell_type(column_type<T>())});
      },
      record);
  if constexpr (k_has_position<R>) table.columns.push_back({"position", integer});
}

template <class R>
void add_kind(std::vector<Table>& all) {
  const std::string name = table<R>();
  Table now{name, {}};
  add_fields<R>(now);
  Table old{"old_" + name, {{"changed_by", integer}, {"seq", integer}}};
  add_fields<R>(old);
  for (Table* one : {&now, &old}) {
    one->columns.push_back({"entry", integer});
    one->columns.push_back({"seen", integer});
  }
  Table held{"held_" + name, {{"question", integer}, {"place", integer}}};
  add_fields<R>(held);
  all.insert(all.end(), {now, old, held});
}

}  // namespace

std::string Table::column_list() const {
  std::vector<std::string> names;
  for (const auto& column : columns) names.push_back(fmt::format("\"{}\"", column.name));
  return comma_list(names);
}

std::vector<Table> contents_tables() {
  std::vector<Table> all;
  static_cast<void>(for_each_kind([&]<class R>() -> Result<void> {
    add_kind<R>(all);
    return {};
  }));
  all.insert(
      all.end(),
      {{"entries", {{"id", integer}, {"at", integer}, {"source", text}, {"done", integer}}},
       {"touches", {{"entry", integer}, {"athlete", text}, {"first", integer}, {"done", integer}}},
       {"questions",
        {{"id", integer},
         {"entry", integer},
         {"athlete", text},
         {"date", integer},
         {"doubt", text},
         {"say", text},
         {"fields", text},
         {"state", text},
         {"answered_by", integer}}},
       {"calls",
        {{"id", integer},
         {"athlete", text},
         {"date", integer},
         {"command", text},
         {"made_at", integer},
         {"inputs_digest", text},
         {"model_version", text},
         {"model_digest", text},
         {"json", text},
         {"say", text}}},
       {"decisions",
        {{"id", integer},
         {"athlete", text},
         {"date", integer},
         {"lift", text},
         {"follows", integer},
         {"reason", text},
         {"done", text},
         {"at", integer},
         {"called", text}}},
       {"states", {{"athlete", text}, {"target", text}, {"date", integer}, {"model_digest", text}, {"bytes", bytes}}},
       {"forecasts",
        {{"athlete", text},
         {"date", integer},
         {"target", text},
         {"made_on", integer},
         {"mean", real},
         {"low80", real},
         {"high80", real},
         {"observed", real}}},
       {"tokens",
        {{"id", integer},
         {"hash", bytes},
         {"parent", integer},
         {"role", text},
         {"athlete", text},
         {"group", text},
         {"note", text},
         {"made", integer},
         {"expires", integer},
         {"revoked", integer}}},
       {"accesses",
        {{"id", integer}, {"at", integer}, {"token", integer}, {"athlete", text}, {"what", text}, {"status", integer}}},
       {"replies", {{"key", text}, {"request_digest", text}, {"status", integer}, {"body", text}, {"at", integer}}},
       {"briefings",
        {{"kind", text},
         {"subject", text},
         {"athlete", text},
         {"date", integer},
         {"made_at", integer},
         {"say", text},
         {"html", text},
         {"json", text},
         {"tries", integer},
         {"next_try", integer},
         {"delivered", integer},
         {"outbox", text}}},
       {"inbox_files", {{"digest", text}, {"outcome", text}}},
       {"week_decisions",
        {{"id", integer},
         {"week", text},
         {"athlete", text},
         {"decision", text},
         {"note", text},
         {"at", integer},
         {"by_whom", text}}}});
  return all;
}

}  // namespace steelyard::store
