#include "report/examples.hpp"

#include <cmath>

namespace steelyard::report::examples {

Day day(int month, int day_of_month) {
  using namespace std::chrono;
  return local_days{year{2026} / std::chrono::month{static_cast<unsigned>(month)} /
                    std::chrono::day{static_cast<unsigned>(day_of_month)}};
}

namespace {

LiftCall squat() {
  LiftCall lift;
  lift.lift = "squat";
  lift.planned = Prescription{DayKind::heavy, 3, 4, 82.5};
  lift.actions = {Action::trim_sets, Action::trim_intensity};
  lift.call = {DayKind::heavy, 2, 4, 77.5};
  lift.weight_kg = 125;
  lift.plates_per_side = {25, 25, 2.5};
  lift.rpe_cap = 8.5;
  lift.warmup = {{20, 8, {}}, {60, 5, {20}}, {90, 3, {25, 10}}, {110, 2, {25, 20}}};
  lift.at_the_bar =
      "90 kg moving slower than 0.62 m/s, or feeling above RPE 6: take 5 % off every working set. Faster than "
      "0.70 m/s: the last set may go up to 127.5 kg.";
  lift.confidence = Confidence::medium;
  lift.expected = ExpectedStrength{
      97.24, 93.8,
      100.6, {{"short sleep", -1.62}, {"sore quads", -0.91}, {"three days since heavy", 0.4}, {"mood", 0.01}},
      41,    true};
  lift.limits = {
      {"sleep", false, 4.5, 5, "h", "Craven 2022", "with 5 h of sleep the plan would have stood", "You slept 4.5 h."},
      {"soreness", false, 5, 4, "of 7", "common practice", "with quads at 4 the plan would have stood", ""},
      {"spacing", true, 72, 48, "h", "common practice", "", ""},
      {"strength-margin", true, 12.25, 20, "%", "", "", ""},
      {"illness", true, {}, {}, "", "", "", ""}};
  return lift;
}

LiftCall deadlift() {
  LiftCall lift;
  lift.lift = "romanian-deadlift";
  lift.planned = Prescription{DayKind::heavy, 3, 5, 80};
  lift.actions = {Action::rest};
  lift.call = {DayKind::rest, 0, 0, 0};
  lift.limits = {
      {"pain", false, 5, 4, "of 10", "Silbernagel 2007", "with pain at 3 a light version would have stood", ""}};
  lift.move = Move{day(3, 6), DayKind::heavy, Displaced{DayKind::volume, std::nullopt}};
  return lift;
}

}  // namespace

DayCall short_night() {
  DayCall call;
  call.athlete = "anna";
  call.date = day(3, 2);
  call.calls = {squat(), deadlift()};
  call.say = {"Squat a little lighter today: 2 x 4 at 125 kg.",
              "You slept 4.5 h; your usual is 7.2 h. One short night costs little strength, so decide at the bar and "
              "sleep early tonight.",
              "Your quads are at 5 of 7; your usual on a Monday is 2.",
              "You wrote: dull pain in the low back, 5 of 10. Leave the romanian deadlift out today."};
  call.cautions = {{"pain-low-back",
                    Urgency::soon,
                    "Leave this lift out. Be seen by a doctor or physiotherapist if it has not settled in a few days.",
                    "common practice",
                    {"romanian-deadlift", "deadlift"},
                    day(3, 1)}};
  call.questions = questions();
  call.coverage = {26, 21, 1, RatioState::known};
  call.model_version = "1";
  call.model_digest = "00c0ffee00c0ffee";
  call.inputs_digest = "0123456789abcdef";
  return call;
}

DayCall stopped() {
  DayCall call = short_night();
  const std::string stop =
      "You wrote: hot, swollen calf. Do not train. Speak to a doctor today. Medical advice you have received and the "
      "rules of your club outrank this tool.";
  call.cautions.insert(call.cautions.begin(),
                       {"hot-swollen-calf", Urgency::today, stop, "common practice", {}, day(3, 2)});
  call.say = {"Do not train. Speak to a doctor today.", stop, "Tell a parent or guardian and the supervising adult."};
  for (LiftCall& lift : call.calls) {
    lift.actions = {Action::stop_refer};
    lift.call = {DayKind::rest, 0, 0, 0};
  }
  return call;
}

Comparison options() {
  Comparison c;
  c.athlete = "anna";
  c.date = day(3, 2);
  c.lift = "squat";
  c.say = {"Heavy on Thursday costs the week nothing and finds you about 2 % stronger.",
           "Dropping it would leave no heavy squat for 14 days."};
  c.options = {
      {"heavy today",
       {DayKind::heavy, 3, 4, 82.5},
       day(3, 2),
       94.6,
       91.2,
       98.1,
       34.2,
       1325,
       1.02,
       4.4,
       72,
       48,
       {},
       {"sleep", "strength-margin"},
       false},
      {"heavy on Thursday",
       {DayKind::light, 3, 5, 60},
       day(3, 5),
       96.9,
       93,
       100.8,
       17.6,
       1290,
       0.994,
       2.6,
       144,
       48,
       {},
       {},
       true},
      {"drop it", {DayKind::rest, 0, 0, 0}, {}, {}, {}, {}, {}, 800, 0.62, {}, {}, {}, {"the heavy day"}, {}, false}};
  return c;
}

WeekReview week() {
  WeekReview w;
  w.week = {2026, 10};
  w.group = "evening";
  w.squad = {"Everybody slept about an hour less on Thursday; that is counted once, here."};
  w.flags = {{"dora",
              1,
              {"pain"},
              {"Right knee 3, 4, 5 of 10 on three mornings, sharp; usually none."},
              {"volume squat on Tuesday, 4 x 10 at 65 %"},
              "Leave squats out until it is back to 0; ask how stairs feel.",
              {"whether it swells"}},
             {"ben",
              2,
              {"signals", "strength"},
              {"Sleep 5.4 h, usual 7.3 h.", "Squat at 60 % moved at 0.61 m/s, usual 0.70 m/s."},
              {},
              "Half the sets on Monday, then look again.",
              {}},
             {"k-07",
              3,
              {"silent"},
              {"Nothing entered since Wednesday; usually 6 of 7 mornings."},
              {},
              "Write to k-07.",
              {"everything since Wednesday", "Friday's session"}}};
  w.watch = {{"emil", "1710 AU against a usual 1320 AU, as the hard week from 2 March says."}};
  w.quiet = {"anna", "carl", "finn", "greta"};
  return w;
}

namespace {

constexpr int k_gap = 38;
constexpr int k_estimated = 39;
constexpr int k_open = 42;

DayFigures start_of(Day date, int i, bool gap) {
  DayFigures f;
  f.date = date;
  const int weekday = weekday_index(date);
  const double load = i == k_estimated ? 480 : weekday == 0 ? 525 : weekday == 2 ? 275 : weekday == 4 ? 525 : 0;
  const bool unknown = i == k_open || (gap && i == k_gap);
  f.status = i == k_open ? DayStatus::open
             : unknown   ? DayStatus::unlogged
             : load > 0  ? DayStatus::trained
                         : DayStatus::rest;
  if (!unknown) f.load_au = load;
  f.estimated = i == k_estimated;
  return f;
}

/// A gap of one usual rest day leaves the sums unknown and the ratio with a low and a high reading (made up).
void finish(std::vector<DayFigures>& days, std::size_t i, bool gap) {
  DayFigures& f = days[i];
  const bool hole = gap && i >= k_gap;
  const auto sum = [&](std::size_t n) {
    double total = 0;
    for (std::size_t k = i + 1 - n; k <= i; ++k) total += days[k].load_au.value_or(0);
    return total;
  };
  f.unlogged_of_28 = hole ? 1 : 0;
  if (i >= 6 && !hole) f.acute7_au = sum(7);
  if (i < 27) return;
  f.state = RatioState::known;
  f.ratio_coupled = sum(7) / (sum(28) / 4);
  f.ratio_uncoupled = sum(7) / ((sum(28) - sum(7)) / 3);
  f.ewma_acute_au = 190.5;
  f.ewma_chronic_au = 188.25;
  f.ratio_ewma = 190.5 / 188.25;
  if (hole) {
    f.ratio_low = *f.ratio_coupled;
    f.ratio_high = *f.ratio_coupled + 0.19;
    return;
  }
  f.chronic28_au = sum(28) / 4;
  double squares = 0;
  for (std::size_t k = i - 6; k <= i; ++k) squares += std::pow(*days[k].load_au - *f.acute7_au / 7, 2);
  f.monotony = *f.acute7_au / 7 / std::sqrt(squares / 6);
  f.week_strain_au = *f.monotony * *f.acute7_au;
  f.week_change_percent = (*f.acute7_au / 1325 - 1) * 100;
  f.percentile26 = 62.5;
  f.highest8_au = 1325;
}

LoadReport diary(bool gap) {
  LoadReport report{"anna", {}, "sample", "mean-of-first-28"};
  for (int i = 0; i <= k_open; ++i) report.days.push_back(start_of(day(1, 19) + Days{i}, i, gap));
  for (std::size_t i = 0; i < k_open; ++i) finish(report.days, i, gap);
  report.days.back().state = RatioState::known;
  return report;
}

}  // namespace

LoadReport loads() {
  return diary(false);
}
LoadReport loads_with_a_gap() {
  return diary(true);
}

std::vector<Question> questions() {
  Question body_mass;
  body_mass.id = 12;
  body_mass.athlete = "anna";
  body_mass.date = day(2, 27);
  body_mass.doubt = "body-mass";
  body_mass.say = "Body mass 45.2 kg on Friday; your usual is 68.1 kg. Was it 68.2?";
  body_mass.fields = {"body_mass"};
  Check check;
  check.athlete = "anna";
  check.date = day(2, 27);
  check.body_mass_kg = 45.2;
  body_mass.rows = {check};
  return {body_mass};
}

std::vector<KindBand> bands() {
  return {{DayKind::light, 40, 65}, {DayKind::volume, 60, 75}, {DayKind::speed, 60, 75}, {DayKind::heavy, 80, 95}};
}

}  // namespace steelyard::report::examples
