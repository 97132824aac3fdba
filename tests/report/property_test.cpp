#include <gtest/gtest.h>

#include <algorithm>
#include <boost/json.hpp>
#include <random>

#include "report/examples.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/report/json.hpp"
#include "steelyard/report/text.hpp"

/// Random records, with text as hostile as entries can be: whatever the figures and words, no line is too wide, nothing
/// steers the terminal, and JSON stays JSON.

namespace steelyard::report {
namespace {

class Random {
 public:
  explicit Random(unsigned seed) : engine_(seed) {}
  int whole(int low, int high) { return std::uniform_int_distribution<int>(low, high)(engine_); }
  double real(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine_); }
  bool coin() { return whole(0, 1) == 1; }
  std::optional<double> maybe(double low, double high) {
    return coin() ? std::optional(real(low, high)) : std::nullopt;
  }
  Day day() { return examples::day(1, 1) + Days{whole(0, 700)}; }

  std::string text() {
    static const std::vector<std::string> pieces{"squat",
                                                 "a",
                                                 " ",
                                                 "  ",
                                                 "125 kg",
                                                 "\x1b[31m",
                                                 "\x1b]0;title\x07",
                                                 "\n",
                                                 "\r",
                                                 "\t",
                                                 "\"",
                                                 "\\",
                                                 "\xFF",
                                                 "\xC3",
                                                 "\xC2\x9B"
                                                 "1m",
                                                 "\xE2\x80\xAE",
                                                 "\xC3\xBC",
                                                 "\xE6\xBC\xA2",
                                                 "e\xCC\x81",
                                                 "<b>",
                                                 "%s",
                                                 "\xED\xA0\x80",
                                                 "\xC2\xA0",
                                                 ", ",
                                                 std::string(95, 'w'),
                                                 "82.5 % of 7",
                                                 "\xF0\x9F\x8F\x8B",
                                                 std::string("\0", 1),
                                                 "\x7f",
                                                 "sentence. "};
    std::string out;
    for (int n = whole(0, 12); n > 0; --n)
      out += pieces[static_cast<std::size_t>(whole(0, static_cast<int>(pieces.size()) - 1))];
    return out;
  }
  std::vector<std::string> texts(int most) {
    std::vector<std::string> out;
    for (int n = whole(0, most); n > 0; --n) out.push_back(text());
    return out;
  }
  Prescription prescription() {
    const auto kind = static_cast<DayKind>(whole(0, 6));
    if (kind == DayKind::rest) return {};
    return {kind, whole(1, 12), whole(1, 15), real(0, 150)};
  }
  std::vector<double> plates() {
    std::vector<double> out;
    for (int n = whole(0, 12); n > 0; --n) out.push_back(coin() ? whole(1, 100) * 0.25 : real(0.3, 25));
    return out;
  }
  LiftCall lift() {
    LiftCall l;
    l.lift = text();
    if (coin()) l.planned = prescription();
    for (int n = whole(0, 3); n > 0; --n) l.actions.push_back(static_cast<Action>(whole(0, 8)));
    l.call = prescription();
    l.weight_kg = maybe(0, 1000);
    l.plates_per_side = plates();
    l.rpe_cap = maybe(5, 10);
    for (int n = whole(0, 5); n > 0; --n) l.warmup.push_back({real(0, 1000), whole(0, 100), plates()});
    l.at_the_bar = text();
    if (coin()) {
      const double mid = real(0, 200);
      l.expected = ExpectedStrength{
          mid,   mid - real(0, 60), mid + real(0, 60), {{text(), real(-9, 9)}, {text(), real(-9, 9)}}, whole(0, 900),
          coin()};
    }
    for (int n = whole(0, 4); n > 0; --n) {
      l.limits.push_back({text(), coin(), maybe(-1e6, 1e6), maybe(0, 1e-9), text(), text(), text(), text()});
    }
    if (coin()) {
      l.move = Move{day(), static_cast<DayKind>(whole(0, 4)), std::nullopt};
      if (coin()) l.move->displaced = Displaced{DayKind::speed, coin() ? std::optional(day()) : std::nullopt};
    }
    return l;
  }
  DayCall call(Urgency most_urgent) {
    DayCall c;
    c.athlete = text();
    c.date = day();
    for (int n = whole(0, 3); n > 0; --n) c.calls.push_back(lift());
    c.say = texts(5);
    for (int n = whole(0, 3); n > 0; --n) {
      const auto urgency = static_cast<Urgency>(whole(static_cast<int>(most_urgent), 3));
      c.cautions.push_back({text(), urgency, text(), text(), texts(3), day()});
    }
    for (int n = whole(0, 2); n > 0; --n) c.questions.push_back(question());
    c.coverage = {whole(0, 28), whole(0, 28), coin() ? std::optional(whole(0, 999)) : std::nullopt, state()};
    c.model_version = text();
    c.model_digest = text();
    c.inputs_digest = text();
    return c;
  }
  RatioState state() { return static_cast<RatioState>(whole(0, 2)); }
  Question question() {
    Question q;
    q.id = whole(1, 1 << 30);
    q.athlete = text();
    q.date = day();
    q.say = text();
    q.doubt = text();
    q.fields = texts(3);
    return q;
  }
  Comparison comparison() {
    Comparison c{text(), day(), text(), {}, texts(3)};
    for (int n = whole(0, 6); n > 0; --n) {
      c.options.push_back({text(), prescription(), coin() ? std::optional(day()) : std::nullopt, maybe(0, 150),
                           maybe(0, 150), maybe(0, 150), maybe(0, 100), maybe(0, 1e5), maybe(0, 9), maybe(1, 7),
                           maybe(0, 900), maybe(0, 900), texts(3), texts(3), coin()});
    }
    return c;
  }
  WeekReview week() {
    WeekReview w{{2026, whole(1, 53)}, text(), {}, {}, texts(4), texts(2)};
    for (int n = whole(0, 4); n > 0; --n)
      w.flags.push_back({text(), whole(1, 99), texts(2), texts(2), texts(2), text(), texts(2)});
    for (int n = whole(0, 3); n > 0; --n) w.watch.push_back({text(), text()});
    return w;
  }
  LoadReport loads() {
    LoadReport r{text(), {}, coin() ? "sample" : "population", "first-load"};
    const Day first = day();
    const double scale = coin() ? 1e7 : 900;
    for (int i = 0, n = whole(0, 80); i < n; ++i) {
      DayFigures d;
      d.date = first + Days{i};
      d.status = static_cast<DayStatus>(whole(0, 3));
      d.load_au = maybe(0, scale);
      d.estimated = coin();
      d.acute7_au = maybe(0, 7 * scale);
      d.chronic28_au = maybe(0, 7 * scale);
      d.ratio_coupled = maybe(0, 4);
      d.ratio_uncoupled = maybe(0, 400);
      d.ewma_acute_au = maybe(0, scale);
      d.ewma_chronic_au = maybe(0, scale);
      d.monotony = maybe(0, 30);
      d.no_variation = whole(0, 9) == 0;
      d.week_strain_au = maybe(0, 99 * scale);
      d.week_change_percent = maybe(-100, 900);
      d.percentile26 = maybe(0, 100);
      d.highest8_au = maybe(0, scale);
      d.unlogged_of_28 = whole(0, 28);
      d.ratio_low = maybe(0, 1);
      d.ratio_high = maybe(1, 40);
      d.state = state();
      r.days.push_back(d);
    }
    return r;
  }

 private:
  std::mt19937 engine_;
};

/// Columns counted by a rule of its own for the letters that the generator uses: U+6F22 and U+1F3CB are wide, U+0301
/// has none.
std::size_t seen_width(std::string line) {
  for (const auto* sgr : {"\x1b[1m", "\x1b[2m", "\x1b[0m"}) {
    for (std::size_t at = 0; (at = line.find(sgr)) != std::string::npos;) line.erase(at, 4);
  }
  for (std::size_t at = 0; (at = line.find("\xCC\x81")) != std::string::npos;) line.erase(at, 2);
  std::size_t wide = 0;
  for (const auto* letter : {"\xE6\xBC\xA2", "\xF0\x9F\x8F\x8B"}) {
    for (std::size_t at = 0; (at = line.find(letter, at)) != std::string::npos; ++at) ++wide;
  }
  return display_width(line) + wide;
}

void expect_harmless(const std::string& text, const Look& look) {
  ASSERT_TRUE(text.empty() || text.back() == '\n');
  const auto most = static_cast<std::size_t>(std::clamp(look.width, 40, 80));
  for (const auto line : split(text, '\n')) {
    ASSERT_LE(seen_width(std::string(line)), most) << line;
    ASSERT_TRUE(line.empty() || line.back() != ' ') << line;
  }
  ASSERT_TRUE(is_plain_utf8(text));
  std::string bare = text;
  if (look.color) {
    for (const auto* sgr : {"\x1b[1m", "\x1b[2m", "\x1b[0m"}) {
      for (std::size_t at = 0; (at = bare.find(sgr)) != std::string::npos;) bare.erase(at, 4);
    }
  }
  for (const char c : bare) {
    const auto byte = static_cast<unsigned char>(c);
    ASSERT_TRUE(c == '\n' || (byte >= 0x20 && byte != 0x7f)) << "control character " << int{byte};
    ASSERT_TRUE(look.unicode || byte < 0x80U) << int{byte};
  }
  for (const auto* hidden : {"\xC2\x9B", "\xE2\x80\xAE"}) ASSERT_EQ(bare.find(hidden), std::string::npos);
}

TEST(TextOutput, IsNeverTooWideAndNeverSteersTheTerminal) {
  for (unsigned seed = 0; seed < 150; ++seed) {
    SCOPED_TRACE(seed);
    Random random(seed);
    const Look look{random.coin(), random.coin(), random.whole(10, 140), random.coin() ? Unit::kg : Unit::lb};
    const auto bands = random.coin() ? examples::bands() : std::vector<KindBand>{};
    expect_harmless(today_text(random.call(Urgency::soon), look, bands), look);
    expect_harmless(today_text(random.call(Urgency::now), look, bands), look);
    expect_harmless(why_text(random.call(Urgency::now), look), look);
    expect_harmless(compare_text(random.comparison(), look), look);
    expect_harmless(week_text(random.week(), look), look);
    expect_harmless(loads_text(random.loads(), look), look);
    expect_harmless(questions_text(std::vector<Question>{random.question(), random.question()}, look), look);
    if (HasFatalFailure()) return;
  }
}

TEST(JsonOutput, ParsesWhateverTheRecordsHold) {
  for (unsigned seed = 0; seed < 100; ++seed) {
    SCOPED_TRACE(seed);
    Random random(seed);
    const Layout layout = random.coin() ? Layout::compact : Layout::pretty;
    for (const std::string& text :
         {today_json(random.call(Urgency::now), layout), compare_json(random.comparison(), layout),
          week_json(random.week(), layout), loads_json(random.loads(), layout),
          questions_json(std::vector<Question>{random.question()}, layout)}) {
      boost::json::error_code error;
      boost::json::parse(text, error);
      ASSERT_FALSE(error) << text;
    }
  }
}

/// What is never said (no diagnosis, no promise, no probability of injury), as far as templates could say it.
/// source  common practice of wording for cautions: no diagnosis, no promise, no blame, no bravado
TEST(TextOutput, TemplatesMakeNoPromiseAndNoDiagnosis) {
  DayCall plain = examples::short_night();
  std::string all =
      today_text(plain, {}, examples::bands()) + today_text(examples::stopped(), {}) + why_text(plain, {}) +
      compare_text(examples::options(), {}) + week_text(examples::week(), {}) +
      week_text({.week = {2026, 1}, .group = {}, .flags = {}, .watch = {}, .quiet = {}, .squad = {}}, {}) +
      loads_text(examples::loads_with_a_gap(), {}) + loads_text(examples::loads(), {}) + loads_text({}, {}) +
      questions_text(examples::questions(), {}) + questions_text({}, {}) + compare_text({}, {}) + today_text({}, {}) +
      why_text({}, {});
  std::replace(all.begin(), all.end(), '\n', ' ');
  all = to_lower(all);
  for (const auto* never : {"safe", "injury risk", "risk of injury", "will prevent", "guarantee", "you probably have",
                            "you may have", "diagnos", "push through", "no pain", "overtraining", "ready to train",
                            "score", "!", "probabl", "green", " red", "amber"}) {
    EXPECT_EQ(all.find(never), std::string::npos) << never;
  }
}

}  // namespace
}  // namespace steelyard::report
