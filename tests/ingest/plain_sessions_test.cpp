// The quick way through rows of sessions must say the same as the reader of rows, on good rows and on broken ones.

#include <gtest/gtest.h>

#include <random>

#include "ingest/reading.hpp"

namespace steelyard::ingest {
namespace {

struct Taken {
  std::vector<Session> sessions;
  std::string errors;
  std::size_t plain = 0;
  std::size_t rows = 0;
};

Taken taken(const std::string& text, bool with_plain, std::size_t piece) {
  TextSource source(text, piece);
  Taken all;
  ReadOptions options{.any_athlete = true, .most_errors = 1000};
  if (with_plain) {
    options.plain_sessions = [&](const PlainSession& p) {
      ++all.plain;
      Session session{.athlete = std::string(p.athlete), .date = p.date};
      session.minutes = p.minutes;
      session.rpe = p.rpe;
      session.tonnage_kg = p.tonnage_kg;
      all.sessions.push_back(session);
    };
  }
  const auto report = read_log(
      source, "f.csv", {},
      [&](Record&& record, std::size_t) -> Result<void> {
        Session session = std::get<Session>(record);
        session.part.reset();  // a plain session carries only what loads need
        session.kind = {};
        session.note.clear();
        all.sessions.push_back(session);
        return {};
      },
      options);
  if (!report) {
    all.errors = report.error().text();
    return all;
  }
  all.rows = report->rows;
  for (const Error& error : report->errors) all.errors += error.text() + "\n";
  return all;
}

TEST(PlainSessions, TakeWhatMostFilesHold) {
  const auto all =
      taken("athlete,date,minutes,rpe,tonnage\nanna,2026-11-23,75,7.5,\nben,2026-11-23,60,,8250.25\r\n", true, 7);
  ASSERT_EQ(all.plain, 2U);
  EXPECT_EQ(all.rows, 2U);
  EXPECT_EQ(all.sessions[0].athlete, "anna");
  EXPECT_EQ(all.sessions[0].date, *parse_day("2026-11-23"));
  EXPECT_EQ(all.sessions[0].minutes, 75);
  EXPECT_EQ(all.sessions[0].rpe, 7.5);
  EXPECT_FALSE(all.sessions[0].tonnage_kg);
  EXPECT_FALSE(all.sessions[1].rpe);
  EXPECT_EQ(all.sessions[1].tonnage_kg, 8250.25);
}

TEST(PlainSessions, SayTheSameAsTheReaderOfRows) {
  std::mt19937_64 random(3);
  const auto one_of = [&](std::initializer_list<const char*> words) {
    return std::string(*(words.begin() + static_cast<std::ptrdiff_t>(random() % words.size())));
  };
  std::size_t plain = 0;
  std::size_t wrong = 0;
  for (int file = 0; file < 60; ++file) {
    std::string text =
        file % 2 == 0 ? "athlete,date,part,kind,minutes,rpe,tonnage,note\n" : "rpe,date,athlete,minutes\n";
    for (int row = 0; row < 40; ++row) {
      const bool odd = random() % 4 == 0;
      const auto pick = [&](std::initializer_list<const char*> good, std::initializer_list<const char*> rare) {
        return odd && random() % 3 == 0 ? one_of(rare) : one_of(good);
      };
      const std::string athlete = pick({"anna", "ben", "A-1_.x"}, {"", " anna", "\"ben\"", "an na", "\xC3\xA4"});
      const std::string date =
          pick({"2026-11-23", "2024-02-29"}, {"2026-02-29", "", "2026-11-23 ", "1890-01-01", "26-1-1"});
      const std::string minutes = pick({"75", "", "0.5", "1440", "62.25"}, {"0", "1440.1", "1e2", "-5", "75 min", ".5",
                                                                            "5.", "1,5", "nan", "12345678901234567"});
      const std::string rpe = pick({"7", "7.5", "", "0", "10"}, {"10.5", "+7", "7,5", "\"7\"", "7\r"});
      if (file % 2 == 0) {
        text += athlete + "," + date + "," + pick({"", "1", "2"}, {"0", "1.5", "21", "12"}) + "," +
                pick({"", "heavy", "sport"}, {"rest", "hevy", "Heavy"}) + "," + minutes + "," + rpe + "," +
                pick({"", "9000"}, {"-1", "9 t"}) + "," +
                pick({"", "felt good"}, {" blank first", "\"a, b\"", "\"two\nlines\"", "tab\there", "5\" plate"});
      } else {
        text += rpe + "," + date + "," + athlete + "," + minutes;
      }
      text += random() % 30 == 0 ? ",\n" : random() % 9 == 0 ? "\r\n" : "\n";
      if (random() % 20 == 0) text += "\n";
    }
    const auto quick = taken(text, true, 1 + random() % 200);
    const auto slow = taken(text, false, 1 << 20);
    EXPECT_EQ(quick.errors, slow.errors) << text;
    EXPECT_EQ(quick.sessions, slow.sessions) << text;
    EXPECT_EQ(quick.rows, slow.rows);
    plain += quick.plain;
    wrong += static_cast<std::size_t>(std::count(slow.errors.begin(), slow.errors.end(), '\n'));
  }
  EXPECT_GT(plain, 1000U);
  EXPECT_GT(wrong, 100U);
}

}  // namespace
}  // namespace steelyard::ingest
