// Every kind of record goes through CSV and JSON lines and comes back to the last bit.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "ingest/reading.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"
#include "steelyard/domain/fields.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::ingest {
namespace {

/// Fills every field of a record with an allowed value, about a third of the optional ones with none.
class Invent {
 public:
  Invent(std::mt19937& random, std::optional<Unit> athlete_units) : random_(random), athlete_units_(athlete_units) {}

  void operator()(const Column& column, std::string& value) {
    switch (column.form) {
      case Form::code:
        value = letters("ABCxyz019-_.", 1, 64);
        return;
      case Form::lift:
        value = letters("abcxyz019-", 1, 64);
        return;
      case Form::zone:
        value = chance() ? "" : "America/Argentina/Buenos_Aires";
        return;
      default:
        break;
    }
    if (column.role == Role::optional && chance()) return;
    if (column.name == "note") {
      value = letters("a,\"\n\r\t '=+-@;\\{}\xC3\xA4", 1, 30, true);
    } else {
      value = letters("a\",;=+-@'\\{}", 1, 30);
    }
  }
  void operator()(const Column& column, Day& value) {
    value = day_from_number(pick(-25567, 84005));  // 1900 .. 2199
    if (column.form == Form::month) value = parse_month(format_month(value)).value();
  }
  void operator()(const Column& column, double& value) {
    if (column.form != Form::weight) {
      value = inside(column.low, column.high);
    } else if (unit_.value_or(athlete_units_.value_or(Unit::kg)) == Unit::kg) {
      value = inside(0, column.high);
    } else {
      value = to_kg(inside(0, 2204), Unit::lb);
    }
    if (column.low_is_open && value == column.low) value = to_kg(1000, Unit::lb);
  }
  void operator()(const Column& column, int& value) {
    value = pick(static_cast<int>(column.low), static_cast<int>(column.high));
  }
  void operator()(const Column&, WeekdaySet& value) { value.bits = static_cast<unsigned>(pick(0, 127)); }
  void operator()(const Column& column, std::vector<double>& value) {
    for (int i = pick(0, 4); i > 0; --i) value.push_back(inside(column.low, column.high));
  }
  void operator()(const Column& column, std::vector<std::string>& value) {
    for (const auto w : column.form == Form::symptom_list ? symptom_codes() : share_words()) {
      if (chance()) value.emplace_back(w);
    }
  }
  void operator()(const Column& column, std::vector<SoreRegion>& value) {
    for (const auto region : sore_regions()) {
      if (chance()) value.push_back({std::string(region) + (chance() ? "-left" : ""), inside(column.low, column.high)});
    }
  }
  void operator()(const Column& column, std::vector<PainEntry>& value) {
    for (const auto site : pain_sites()) {
      if (chance()) {
        value.push_back({std::string(site) + (chance() ? "-right" : ""), inside(column.low, column.high),
                         static_cast<PainKind>(pick(0, 5))});
      }
    }
  }
  void operator()(const Column& column, std::optional<Unit>& value) {
    if (column.name == "unit") {
      value = unit_;
    } else if (!chance()) {
      value = static_cast<Unit>(pick(0, 1));
    }
  }
  template <class E>
  requires std::is_enum_v<E>
  void operator()(const Column&, E& value) {
    value = static_cast<E>(pick(0, static_cast<int>(words_of<E>().size()) - 1));
  }
  template <class T>
  void operator()(const Column& column, std::optional<T>& value) {
    if (chance()) return;
    T present{};
    (*this)(column, present);
    value = present;
  }

  template <class R>
  R record() {
    if (chance()) {
      unit_.reset();
    } else {
      unit_ = static_cast<Unit>(pick(0, 1));
    }
    R row;
    visit_fields(*this, row);
    make_consistent(row);
    return row;
  }

 private:
  static void make_consistent(Session& row) {
    if (row.kind == DayKind::rest) row.kind = DayKind::light;
  }
  static void make_consistent(PlanRow& row) {
    if (row.kind == DayKind::sport || row.kind == DayKind::other) row.kind = DayKind::rest;
  }
  static void make_consistent(SetRow& row) {
    if (row.missed) row.missed = *row.missed % (row.reps + 1);
  }
  static void make_consistent(DaysOff& row) {
    if (row.to < row.from) std::swap(row.from, row.to);
  }
  void make_consistent(Period& row) {
    if (row.to < row.from) std::swap(row.from, row.to);
    if (chance()) row.group.clear();
    if (row.group.empty()) row.athlete = "anna";
    if (!row.group.empty()) row.athlete.clear();
  }
  static void make_consistent(auto&) {}

  int pick(int low, int high) { return std::uniform_int_distribution<int>(low, high)(random_); }
  bool chance() { return pick(0, 2) == 0; }
  /// Short decimals, awkward doubles and the edges.
  double inside(double low, double high) {
    switch (pick(0, 3)) {
      case 0:
        return pick(0, 1) == 0 ? low : high;
      case 1:
        return std::round(std::uniform_real_distribution<double>(low, high)(random_) * 4) / 4;
      default:
        return std::uniform_real_distribution<double>(low, high)(random_);
    }
  }
  /// Of the letters given, whole code points; with blanks at the ends only where `any_ends`.
  std::string letters(std::string_view from, int least, int most, bool any_ends = false) {
    std::string text;
    for (int i = pick(least, most); i > 0; --i) {
      const auto at = static_cast<std::size_t>(pick(0, static_cast<int>(from.size()) - 1));
      if (static_cast<unsigned char>(from[at]) >= 0x80) {
        text += "\xC3\xA4";
      } else {
        text += from[at];
      }
    }
    if (any_ends && trim(text).empty()) text += 'x';
    return text;
  }

  std::mt19937& random_;
  std::optional<Unit> athlete_units_;
  std::optional<Unit> unit_;
};

class RoundTrip : public testing::TestWithParam<std::optional<Unit>> {
 protected:
  std::optional<KnownAthlete> lookup(std::string_view) const { return KnownAthlete{GetParam()}; }

  template <class R>
  void check_kind(std::mt19937& random) {
    const auto known = [this](std::string_view code) { return lookup(code); };
    std::vector<Record> rows;
    for (int i = 0; i < 300; ++i) rows.emplace_back(Invent(random, GetParam()).record<R>());
    std::string text = write_csv_header(kind_of(rows.front()));
    for (const Record& row : rows) text += write_csv_row(row, GetParam());
    TextSource source(text, 100);
    std::vector<Record> back;
    const auto report = read_log(source, "f.csv", known, [&](Record&& record, std::size_t) -> Result<void> {
      back.push_back(std::move(record));
      return {};
    });
    ASSERT_TRUE(report) << report.error().text();
    ASSERT_EQ(report->error_count, 0U) << report->errors[0].text();
    ASSERT_EQ(back.size(), rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      ASSERT_EQ(back[i], rows[i]) << print_json_line(rows[i]) << "\n" << print_json_line(back[i]);
      const auto line = print_json_line(rows[i]);
      const auto parsed = parse_json_line(line, known);
      ASSERT_TRUE(parsed) << line << "\n" << parsed.error().text();
      ASSERT_EQ(*parsed, with_unit_said(rows[i])) << line << "\n" << print_json_line(*parsed);
      ASSERT_EQ(line.find('\n'), std::string::npos);
    }
  }

  /// JSON lines name the unit of every weight.
  static Record with_unit_said(Record record) {
    if (auto* set = std::get_if<SetRow>(&record); set != nullptr && set->weight_kg && !set->unit) set->unit = Unit::kg;
    if (auto* max = std::get_if<TrainingMax>(&record); max != nullptr && !max->unit) max->unit = Unit::kg;
    return record;
  }
};

TEST_P(RoundTrip, LosesNothing) {
  std::mt19937 random(20261123);
  check_kind<Athlete>(random);
  check_kind<TrainingMax>(random);
  check_kind<PlanRow>(random);
  check_kind<Period>(random);
  check_kind<DaysOff>(random);
  check_kind<Session>(random);
  check_kind<SetRow>(random);
  check_kind<Check>(random);
  check_kind<BarSpeed>(random);
  check_kind<Clearance>(random);
}

INSTANTIATE_TEST_SUITE_P(AthleteUnits, RoundTrip, testing::Values(std::nullopt, Unit::kg, Unit::lb));

SetRow one_set(double kg, std::optional<Unit> unit) {
  return {.athlete = "anna",
          .date = parse_day("2026-11-23").value(),
          .lift = "squat",
          .sets = 3,
          .reps = 5,
          .weight_kg = kg,
          .unit = unit};
}

TEST(WriteCsv, HasTheColumnsOfTheContract) {
  EXPECT_EQ(write_csv_header(RecordKind::sets),
            "athlete,date,part,lift,sets,reps,weight,unit,percent,rpe,speed,missed\n");
  EXPECT_EQ(write_csv_row(one_set(142.5, std::nullopt), std::nullopt), "anna,2026-11-23,,squat,3,5,142.5,,,,,\n");
  EXPECT_EQ(write_csv_row(one_set(to_kg(315, Unit::lb), std::nullopt), Unit::lb),
            "anna,2026-11-23,,squat,3,5,315,,,,,\n");
  EXPECT_EQ(write_csv_row(one_set(to_kg(315, Unit::lb), Unit::lb), Unit::kg),
            "anna,2026-11-23,,squat,3,5,315,lb,,,,\n");
}

// Doubles of pounds are too coarse for some kilograms (see ExactUnit); such a row was typed in kilograms.
TEST(WriteCsv, KeepsAWeightExactWhereTheAthletesUnitCannot) {
  int said = 0;
  for (double kg = 117; kg < 127; kg += 0.1) {
    const auto row = write_csv_row(one_set(kg, std::nullopt), Unit::lb);
    said += row.find(",kg,") != std::string::npos ? 1 : 0;
    TextSource source(write_csv_header(RecordKind::sets) + row);
    const auto report = read_log(
        source, "f.csv", [](std::string_view) { return std::optional(KnownAthlete{Unit::lb}); },
        [&](Record&& record, std::size_t) -> Result<void> {
          EXPECT_EQ(std::get<SetRow>(record).weight_kg, kg);
          return {};
        });
    ASSERT_TRUE(report);
    EXPECT_EQ(report->rows, 1U);
  }
  EXPECT_GT(said, 10);
}

TEST(WriteCsv, DefusesFormulasOnlyForSpreadsheets) {
  const Day date = parse_day("2026-11-23").value();
  for (const std::string text : {"=1+1", "+1", "-1", "@x", "\tx", "\rx"}) {
    const Session session{.athlete = "anna", .date = date, .rpe = 7, .note = text};
    const bool quoted_cell = text[0] == '\r';
    EXPECT_EQ(write_csv_row(session, {}), "anna,2026-11-23,,,,7,," + (quoted_cell ? "\"" + text + "\"" : text) + "\n");
    EXPECT_EQ(write_csv_row(session, {}, true),
              "anna,2026-11-23,,,,7,," + (quoted_cell ? "\"'" + text + "\"" : "'" + text) + "\n");
  }
  const Session plain{.athlete = "anna", .date = date, .rpe = 7, .note = "1+1=2"};
  EXPECT_EQ(write_csv_row(plain, {}, true), "anna,2026-11-23,,,,7,,1+1=2\n");
}

}  // namespace
}  // namespace steelyard::ingest
