#include "steelyard/series/lift_codes.hpp"

#include <type_traits>
#include <vector>

#include "steelyard/domain/fields.hpp"

namespace steelyard::series {
namespace {

/// true = it went by another name
template <class Row>
bool rename(Row& row, const LiftsModel& lifts) {
  bool renamed = false;
  visit_fields(
      [&]<class T>(const Column& column, T& member) {
        if constexpr (std::is_same_v<T, std::string>) {
          if (column.form != Form::lift) return;
          const std::string_view code = code_of(lifts, member);
          if (code == member) return;
          member = code;
          renamed = true;
        }
      },
      row);
  return renamed;
}

/// A row under another name is older than one under the code at the same place, and gives way to it.
template <class Row, class SamePlace>
void rename_all(std::vector<Row>& rows, const LiftsModel& lifts, SamePlace same_place) {
  std::vector<bool> renamed;
  bool any = false;
  for (Row& row : rows) {
    renamed.push_back(rename(row, lifts));
    any = any || renamed.back();
  }
  if (!any) return;
  std::vector<Row> kept;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    bool newer = false;
    for (std::size_t k = 0; renamed[i] && k < rows.size(); ++k) {
      newer = newer || (!renamed[k] && rows[k].lift == rows[i].lift && same_place(rows[k], rows[i]));
    }
    if (!newer) kept.push_back(rows[i]);
  }
  rows = std::move(kept);
}

}  // namespace

std::string_view code_of(const LiftsModel& lifts, std::string_view lift) {
  const LiftModel* model = lifts.find(lift);
  return model != nullptr ? std::string_view(model->lift) : lift;
}

std::string_view root_of(const LiftsModel& lifts, std::string_view lift) {
  const LiftModel* model = lifts.find(lift);
  if (model == nullptr) return lift;
  return model->variant_of.empty() ? model->lift : model->variant_of;
}

void use_lift_codes(Record& row, const LiftsModel& lifts) {
  std::visit([&](auto& of_kind) { rename(of_kind, lifts); }, row);
}

void use_lift_codes(AthleteLog& log, const LiftsModel& lifts) {
  rename_all(log.maxes, lifts, [](const TrainingMax& a, const TrainingMax& b) { return a.from == b.from; });
  rename_all(log.plan, lifts, [](const PlanRow& a, const PlanRow& b) { return a.date == b.date; });
  rename_all(log.bar, lifts,
             [](const BarSpeed& a, const BarSpeed& b) { return a.date == b.date && a.percent == b.percent; });
  for (SetRow& set : log.sets) rename(set, lifts);
  for (Decision& decision : log.decisions) decision.lift = code_of(lifts, decision.lift);
}

}  // namespace steelyard::series
