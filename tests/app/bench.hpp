#pragma once
/// A store in memory, the shipped models and a fixed moment: what the tests of the use cases stand on.

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <string_view>

#include "params/shipped_models.hpp"
#include "steelyard/app/context.hpp"
#include "steelyard/app/ingest.hpp"

namespace steelyard::app {

/// Monday 2026-11-23, 06:00 UTC.
inline constexpr Instant k_now{std::chrono::sys_days{std::chrono::year{2026} / 11 / 23} + std::chrono::hours{6}};
inline const Day k_today = *parse_day("2026-11-23");

class Bench : public ::testing::Test {
 protected:
  Bench() : context{*store, testing::shipped_models(), k_now} {}

  /// Reads a text as a file; the test fails if it has errors.
  FileOutcome read(std::string_view text, std::string_view name = "file.csv") {
    auto outcome = ingest_text(context, name, text, {});
    if (!outcome) {
      ADD_FAILURE() << outcome.error().text();
      return {};
    }
    if (outcome->refused) ADD_FAILURE() << outcome->refused->text();
    for (const Error& error : outcome->report.errors) ADD_FAILURE() << error.text();
    return *std::move(outcome);
  }
  void add_lifter() { read("athlete,units,weekdays,bar_kg\na1,kg,mon wed fri,20\n", "athletes.csv"); }

  AthleteLog log() {
    auto all = store->log("a1", *parse_day("2020-01-01"), *parse_day("2030-01-01"));
    if (!all) {
      ADD_FAILURE() << all.error().text();
      return {};
    }
    return *std::move(all);
  }
  std::string digest() { return store->contents_digest().value(); }
  std::size_t open_questions() { return store->open_questions(std::nullopt).value().size(); }
  Athlete lifter() { return store->athlete("a1").value().value(); }

  std::unique_ptr<store::Store> store = store::open_memory_store();
  Context context;
};

}  // namespace steelyard::app
