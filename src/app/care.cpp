#include "steelyard/app/care.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "steelyard/decide/call.hpp"
#include "steelyard/decide/rotation.hpp"
#include "steelyard/report/json.hpp"
#include "steelyard/series/lift_codes.hpp"

namespace steelyard::app {
namespace {

std::string named(const store::CallMade& call) {
  return fmt::format("call {} ({} of {} on {})", call.id, call.command, call.athlete, format_day(call.date));
}

class Verification {
 public:
  Verification(store::FileCheck& check, store::Store& store, const Models& models, Soundness& sound)
      : check_(check), store_(store), models_(models), sound_(sound) {}

  [[nodiscard]] Result<void> repeat(const store::CallMade& call) {
    ++sound_.calls;
    if (!call.names_its_inputs) fault(named(call) + ": what it says and what is kept of it differ");
    auto log = store_.log(call.athlete, call.date - Days{k_days_back}, call.date + Days{k_days_ahead});
    if (!log && log.error().code == Errc::no_input) {
      ++sound_.changed;  // the athlete's own entry was taken back
      return {};
    }
    STEELYARD_TRY(log);
    if (is_made_from(*log, call)) {
      ++sound_.repeated;
      return {};
    }
    STEELYARD_TRY_ASSIGN(const bool changed, check_.changed_since(call, call.date + Days{k_days_ahead}));
    if (changed) {
      ++sound_.changed;
    } else {
      fault(named(call) + ": the entries behind it are not those it was made from, and nothing says why");
    }
    return {};
  }

 private:
  /// As calls read it today, or as it is stored: older programs took a lift's name as it came.
  [[nodiscard]] bool is_made_from(AthleteLog log, const store::CallMade& call) const {
    if (decide::inputs_digest(log, call.date) == call.inputs_digest) return true;
    series::use_lift_codes(log, models_.lifts);
    decide::fill_from_rotation(log, call.date, models_);
    return decide::inputs_digest(log, call.date) == call.inputs_digest;
  }

  void fault(std::string text) { sound_.findings.faults.push_back(std::move(text)); }

  store::FileCheck& check_;
  store::Store& store_;
  const Models& models_;
  Soundness& sound_;
};

}  // namespace

int schema_version() {
  return store::schema_version();
}

Result<Soundness> verify(const std::string& file, const Models& models) {
  Soundness sound;
  {
    STEELYARD_TRY_ASSIGN(const auto check, store::FileCheck::open(file));
    STEELYARD_TRY_ASSIGN(sound.findings, check->inspect());
  }
  const auto unreadable = [&](const Error& error) { sound.findings.faults.push_back("damaged: " + error.what); };
  if (std::any_of(sound.findings.faults.begin(), sound.findings.faults.end(),
                  [](const std::string& fault) { return fault.starts_with("damaged"); })) {
    return sound;
  }
  const std::optional<int> older = sound.findings.older;
  const auto opening = store::open_sqlite_store(file);
  if (!opening) {
    const Errc code = opening.error().code;
    // A full disk or another program that writes says nothing about the file.
    if (!older || code == Errc::io || code == Errc::busy) return tl::make_unexpected(opening.error());
    sound.findings.faults.push_back(
        fmt::format("its tables of version {} cannot be brought forward: {}", *older, opening.error().what));
    return sound;
  }
  const auto& opened = *opening;
  STEELYARD_TRY_ASSIGN(const auto check, store::FileCheck::open(file));
  if (older) {
    STEELYARD_TRY_ASSIGN(sound.findings, check->inspect());
    sound.findings.remarks.push_back(fmt::format(
        "its tables had version {0} and were brought forward to {1}; a copy of it as it was lies beside it, "
        "under a name that begins with FILE.before-{1}",
        *older, schema_version()));
  }
  const auto digest = opened->contents_digest();
  if (!digest) {
    unreadable(digest.error());
    return sound;
  }
  sound.digest = *digest;
  STEELYARD_TRY_ASSIGN(const auto athletes, opened->athletes());
  sound.athletes = athletes.size();
  STEELYARD_TRY_ASSIGN(const auto calls, check->calls());
  Verification verification(*check, *opened, models, sound);
  for (const auto& call : calls) STEELYARD_TRY(verification.repeat(call));
  return sound;
}

std::string soundness_json(const Soundness& sound) {
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("sound", sound.findings.faults.empty());
  const auto list = [&](const char* key, const std::vector<std::string>& lines) {
    writer.key(key).begin_array();
    for (const std::string& line : lines) writer.value(line);
    writer.end_array();
  };
  list("faults", sound.findings.faults);
  list("remarks", sound.findings.remarks);
  writer.field("digest", sound.digest).field("athletes", static_cast<std::int64_t>(sound.athletes));
  writer.field("calls", static_cast<std::int64_t>(sound.calls));
  writer.field("calls_repeated", static_cast<std::int64_t>(sound.repeated));
  writer.field("calls_changed_since", static_cast<std::int64_t>(sound.changed)).end_object();
  return json;
}

}  // namespace steelyard::app
