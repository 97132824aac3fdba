// Gym shorthand. What was understood has values in their ranges and can be echoed in both units.
#include "fuzz/fuzz.hpp"
#include "steelyard/ingest/shorthand.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace steelyard;
  using namespace steelyard::fuzz;
  static const std::vector<std::string_view> lifts{"squat", "bench", "deadlift"};
  const auto log = ingest::parse_shorthand(text_of(data, size), {.athlete = "a1", .date = Day{}, .lifts = lifts});
  if (!log) {
    expect(log.error().code == Errc::bad_data && !log.error().what.empty(), "a refusal says why");
    return 0;
  }
  for (const SetRow& set : log->sets) {
    expect(set.reps >= 0 && set.reps <= 100, "0 to 100 repetitions");
    expect(!set.weight_kg || (*set.weight_kg >= 0 && *set.weight_kg <= 1000), "0 to 1000 kg");
    expect(!set.rpe || (*set.rpe >= 1 && *set.rpe <= 10), "RPE of a set from 1 to 10");
    expect(!set.percent || (*set.percent >= 0 && *set.percent <= 150), "0 to 150 %");
  }
  expect(!log->session.minutes || (*log->session.minutes > 0 && *log->session.minutes <= 1440), "up to 1440 minutes");
  expect(!log->session.rpe || (*log->session.rpe >= 0 && *log->session.rpe <= 10), "RPE of the session from 0 to 10");
  expect(!ingest::echo(*log, Unit::kg).empty() && !ingest::echo(*log, Unit::lb).empty(), "an echo of what there is");
  return 0;
}
