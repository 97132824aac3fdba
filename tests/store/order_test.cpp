// Laws of entering: how rows are cut into entries and in which order the days come makes no difference, entering twice
// makes none either, and what is stored is what a plain model of the sentences in store.hpp says.
#include <map>

#include "random_log.hpp"

namespace steelyard::store {
namespace {

class OrderTest : public StoreTest {};
STEELYARD_ON_EVERY_STORE(OrderTest);

bool is_dated(const Record& row) {
  return std::visit(
      [](const auto& r) {
        return requires {
          r.date;
        };
      },
      row);
}
Day date_of(const Record& row) {
  return std::visit(
      [](const auto& r) {
        if constexpr (requires { r.date; }) {
          return r.date;
        } else {
          return Day{};
        }
      },
      row);
}

/// Rows with a date, and all athletes in front.
std::vector<Record> random_file(RandomLog& random, int count) {
  std::vector<Record> file{athlete("ada"), athlete("bo"), athlete("cy")};
  for (const auto& row : random.rows(count)) {
    if (is_dated(row)) file.push_back(row);
  }
  return file;
}

/// The file's days, each with its rows in the file's order.
std::map<Day, std::vector<Record>> by_day(const std::vector<Record>& file) {
  std::map<Day, std::vector<Record>> days;
  for (const auto& row : file) days[date_of(row)].push_back(row);
  return days;
}

/// The rows of different days mixed at random, those of one day in their order.
std::vector<Record> shuffled_days(const std::vector<Record>& file, RandomLog& random) {
  std::vector<std::vector<Record>> piles;
  for (auto& [date, rows] : by_day(file)) piles.push_back(rows);
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < piles.size(); ++i) order.insert(order.end(), piles[i].size(), i);
  std::shuffle(order.begin(), order.end(), random.engine());
  std::vector<std::size_t> next(piles.size());
  std::vector<Record> mixed;
  for (const auto i : order) mixed.push_back(piles[i][next[i]++]);
  return mixed;
}

TEST_P(OrderTest, CuttingAFileByDayAndMixingItsDaysMakeNoDifference) {
  for (unsigned seed = 1; seed <= seeds(15); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    RandomLog random(seed);
    const auto old_file = random_file(random, 60);  // what was there before
    const auto file = random_file(random, 90);

    const auto whole = open("whole.db" + std::to_string(seed));
    enter(*whole, old_file);
    enter(*whole, file);

    const auto mixed = open("mixed.db" + std::to_string(seed));
    enter(*mixed, shuffled_days(old_file, random));
    enter(*mixed, shuffled_days(file, random));
    EXPECT_EQ(must(mixed->contents_digest()), must(whole->contents_digest()));

    const auto cut = open("cut.db" + std::to_string(seed));
    enter(*cut, old_file);
    auto days = by_day(file);
    std::vector<std::vector<Record>> piles;
    for (auto& [date, rows] : days) piles.push_back(rows);
    std::shuffle(piles.begin(), piles.end(), random.engine());
    for (const auto& rows : piles) enter(*cut, rows);
    EXPECT_EQ(must(cut->contents_digest()), must(whole->contents_digest()));
  }
}

TEST_P(OrderTest, AFileWithOneRowAKeyEnteredTwiceChangesNothing) {
  for (unsigned seed = 1; seed <= seeds(15); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    RandomLog random(seed);
    const auto store = open("twice.db" + std::to_string(seed));
    enter(*store, random_file(random, 60));
    // Two rows with one key in one file replace each other on every reading; a file without such rows is the law's
    // case.
    std::vector<Record> file;
    std::map<std::string, int> seen;
    for (auto row : random_file(random, 120)) {
      if (auto* s = std::get_if<Session>(&row)) s->part.reset();
      const bool is_listed = std::holds_alternative<Session>(row) || std::holds_alternative<SetRow>(row) ||
                             std::holds_alternative<PlanRow>(row);
      const std::string key = std::visit([](const auto& r) { return r.athlete; }, row) + format_day(date_of(row)) +
                              std::to_string(row.index());
      if (!is_listed && seen[key]++ > 0) continue;
      file.push_back(row);
    }
    enter(*store, file);
    const auto seen_before = picture(*store);
    const auto again = enter(*store, file);
    EXPECT_EQ(again.id, 0);
    EXPECT_EQ(again.added + again.replaced + again.removed, 0);
    EXPECT_EQ(picture(*store), seen_before);
  }
}

TEST_P(OrderTest, SetsAreWhatThePlainModelSays) {
  using Part = std::tuple<std::string, Day, int>;
  RandomLog random(7);
  const auto store = open();
  enter(*store, {athlete("ada"), athlete("bo"), athlete("cy")});
  std::map<Part, std::vector<SetRow>> model;
  for (unsigned i = 0; i < seeds(60); ++i) {
    std::map<Part, std::vector<SetRow>> named;
    std::vector<Record> file;
    for (int k = random.below(20); k >= 0; --k) {
      const SetRow row{.athlete = random.code(),
                       .date = random.date(),
                       .part = random.part(),
                       .lift = "squat",
                       .reps = 5,
                       .weight_kg = 90.0 + random.below(2)};
      file.push_back(row);
      named[{row.athlete, row.date, row.part.value_or(1)}].push_back(row);
    }
    enter(*store, file);
    for (auto& [part, sets] : named) model[part] = sets;
    std::map<Part, std::vector<SetRow>> stored;
    for (const auto& code : RandomLog::codes()) {
      for (auto row : whole_log(*store, code).sets) stored[{code, row.date, row.part.value()}].push_back(row);
    }
    ASSERT_EQ(stored.size(), model.size());
    for (const auto& [part, sets] : model) {
      const auto& found = stored.at(part);
      ASSERT_EQ(found.size(), sets.size());
      for (std::size_t n = 0; n < sets.size(); ++n) ASSERT_EQ(found[n].weight_kg, sets[n].weight_kg);
    }
  }
}

TEST_P(OrderTest, AnyDifferenceShowsInTheDigest) {
  const auto digest_with = [&](const std::string& name, const Record& row) {
    const auto store = open(name);
    enter(*store, {athlete("ada"), row});
    return must(store->contents_digest());
  };
  const auto usual = digest_with("a.db", check("ada", "2026-01-05", 8));
  EXPECT_EQ(digest_with("b.db", check("ada", "2026-01-05", 8)), usual);
  EXPECT_NE(digest_with("c.db", check("ada", "2026-01-05", 8.0000000001)), usual);
  EXPECT_NE(digest_with("d.db", check("ada", "2026-01-06", 8)), usual);
  Check noted = check("ada", "2026-01-05", 8);
  noted.note = "x";
  EXPECT_NE(digest_with("e.db", noted), usual);
}

}  // namespace
}  // namespace steelyard::store
