#include "steelyard/domain/fields.hpp"

#include <gtest/gtest.h>

#include <string>

namespace steelyard {
namespace {

template <class R>
std::string columns_of_record(bool only_required) {
  std::string names;
  const R row{};
  visit_fields(
      [&](const Column& column, const auto&) {
        if (only_required && column.role == Role::optional) return;
        names += names.empty() ? std::string(column.name) : "," + std::string(column.name);
      },
      row);
  return names;
}

template <class R>
Column column_named(std::string_view name) {
  Column found{.name = "none"};
  const R row{};
  visit_fields([&](const Column& column, const auto&) { found = column.name == name ? column : found; }, row);
  return found;
}

void expect_range(const Column& column, double low, double high) {
  EXPECT_EQ(column.low, low) << column.name;
  EXPECT_EQ(column.high, high) << column.name;
}

// The columns of the contract, "Files".
TEST(VisitFields, NamesTheColumnsOfTheContract) {
  EXPECT_EQ(columns_of_record<Athlete>(false),
            "athlete,name,birth_year,training_since,units,weekdays,time_zone,meet_date,group,bar_kg,plates_kg,share");
  EXPECT_EQ(columns_of_record<TrainingMax>(false), "athlete,lift,from,training_max,unit");
  EXPECT_EQ(columns_of_record<PlanRow>(false), "athlete,date,lift,kind,sets,reps,percent,minutes,note");
  EXPECT_EQ(columns_of_record<Period>(false), "athlete,group,from,to,intent,note");
  EXPECT_EQ(columns_of_record<DaysOff>(false), "athlete,from,to,reason");
  EXPECT_EQ(columns_of_record<Session>(false), "athlete,date,part,kind,minutes,rpe,tonnage,note");
  EXPECT_EQ(columns_of_record<SetRow>(false), "athlete,date,part,lift,sets,reps,weight,unit,percent,rpe,speed,missed");
  EXPECT_EQ(columns_of_record<Check>(false),
            "athlete,date,sleep_hours,sleep_quality,soreness,fatigue,stress,mood,sore_regions,pain,symptoms,resting_hr,"
            "hrv,body_mass,jump,minutes_available,note");
  EXPECT_EQ(columns_of_record<BarSpeed>(false), "athlete,date,lift,percent,speed");
  EXPECT_EQ(columns_of_record<Clearance>(false), "athlete,date,caution,by,note");
}

TEST(VisitFields, RequiresWhatTheContractRequires) {
  EXPECT_EQ(columns_of_record<Athlete>(true), "athlete");
  EXPECT_EQ(columns_of_record<TrainingMax>(true), "athlete,lift,from,training_max");
  EXPECT_EQ(columns_of_record<PlanRow>(true), "athlete,date,lift,kind");
  EXPECT_EQ(columns_of_record<Period>(true), "from,to,intent");  // and athlete or group
  EXPECT_EQ(columns_of_record<DaysOff>(true), "athlete,from,to,reason");
  EXPECT_EQ(columns_of_record<Session>(true), "athlete,date");
  EXPECT_EQ(columns_of_record<SetRow>(true), "athlete,date,lift,reps");
  EXPECT_EQ(columns_of_record<Check>(true), "athlete,date");
  EXPECT_EQ(columns_of_record<BarSpeed>(true), "athlete,date,lift,percent,speed");
  EXPECT_EQ(columns_of_record<Clearance>(true), "athlete,date,caution,by");
}

TEST(VisitFields, HasTheRangesOfTheContract) {
  EXPECT_TRUE(column_named<Session>("minutes").low_is_open);
  expect_range(column_named<Session>("minutes"), 0, 1440);
  expect_range(column_named<Session>("rpe"), 0, 10);
  expect_range(column_named<SetRow>("rpe"), 1, 10);
  expect_range(column_named<SetRow>("reps"), 0, 100);
  expect_range(column_named<SetRow>("sets"), 1, 50);
  expect_range(column_named<SetRow>("weight"), 0, 1000);
  expect_range(column_named<SetRow>("percent"), 0, 150);
  expect_range(column_named<SetRow>("speed"), 0, 3);
  expect_range(column_named<Check>("sleep_hours"), 0, 24);
  for (const auto* item : {"sleep_quality", "soreness", "fatigue", "stress", "mood", "sore_regions"}) {
    expect_range(column_named<Check>(item), 1, 7);
  }
  expect_range(column_named<Check>("resting_hr"), 20, 250);
  expect_range(column_named<Check>("hrv"), 1, 400);
  expect_range(column_named<Check>("body_mass"), 20, 350);
  expect_range(column_named<Check>("jump"), 1, 150);
  expect_range(column_named<Check>("pain"), 0, 10);
}

TEST(VisitFields, LetsTheVisitorChangeTheRow) {
  Session row;
  visit_fields(
      [](const Column&, auto& member) {
        if constexpr (std::is_same_v<decltype(member), std::optional<double>&>) member = 5;
      },
      row);
  EXPECT_EQ(row.minutes, 5);
  EXPECT_EQ(row.rpe, 5);
  EXPECT_EQ(row.tonnage_kg, 5);
}

TEST(KindOf, FollowsTheOrderOfTheRecord) {
  EXPECT_EQ(kind_of(Record(Athlete{})), RecordKind::athletes);
  EXPECT_EQ(kind_of(Record(TrainingMax{})), RecordKind::maxes);
  EXPECT_EQ(kind_of(Record(PlanRow{})), RecordKind::plan);
  EXPECT_EQ(kind_of(Record(Period{})), RecordKind::periods);
  EXPECT_EQ(kind_of(Record(DaysOff{})), RecordKind::days_off);
  EXPECT_EQ(kind_of(Record(Session{})), RecordKind::sessions);
  EXPECT_EQ(kind_of(Record(SetRow{})), RecordKind::sets);
  EXPECT_EQ(kind_of(Record(Check{})), RecordKind::checks);
  EXPECT_EQ(kind_of(Record(BarSpeed{})), RecordKind::bar);
  EXPECT_EQ(kind_of(Record(Clearance{})), RecordKind::clearances);
}

}  // namespace
}  // namespace steelyard
