#include "store/saved.hpp"

#include "store/reader.hpp"

namespace steelyard::store {

Saved::Saved(Database& db)
    : db_(db),
      add_call_(
          db,
          "insert into calls (athlete, date, command, made_at, inputs_digest, model_version, model_digest, json, say) "
          "values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)"),
      newest_call_(
          db,
          "select made_at, inputs_digest, model_version, model_digest, json, say from calls where athlete = ?1 "
          "and date = ?2 and command = ?3 order by made_at desc, id desc limit 1"),
      add_decision_(db,
                    "insert into decisions (athlete, date, lift, follows, called, reason, done, at) "
                    "values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)"),
      add_state_(
          db,
          "insert into states (athlete, target, date, model_digest, bytes) values (?1, ?2, ?3, ?4, ?5) on conflict "
          "(athlete, target, date) do update set model_digest = excluded.model_digest, bytes = excluded.bytes"),
      newest_entry_(db, newest_entry_query()),
      newest_state_(db,
                    "select date, model_digest, bytes from states where athlete = ?1 and target = ?2 and date <= ?3 "
                    "order by date desc limit 1"),
      drop_states_(db, "delete from states where athlete = ?1 and date >= ?2"),
      add_forecast_(
          db,
          "insert into forecasts (athlete, date, target, made_on, mean, low80, high80, observed) "
          "values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) on conflict (athlete, date, target, made_on) do update set "
          "mean = excluded.mean, low80 = excluded.low80, high80 = excluded.high80, "
          "observed = coalesce(excluded.observed, forecasts.observed)"),
      forecasts_(db,
                 "select date, target, made_on, mean, low80, high80, observed from forecasts where athlete = ?1 "
                 "order by date, target, made_on") {}

Result<void> Saved::save(const StoredCall& call) {
  Transaction work(db_);
  STEELYARD_TRY(work.begin());
  STEELYARD_TRY_ASSIGN(const auto newest, this->call(call.athlete, call.date, call.command));
  if (newest && newest->inputs_digest == call.inputs_digest && newest->model_digest == call.model_digest) return {};
  add_call_.with(call.athlete, call.date, call.command, call.made_at, call.inputs_digest, call.model_version,
                 call.model_digest, call.json, call.text);
  STEELYARD_TRY(add_call_.run());
  return work.commit();
}

Result<std::optional<StoredCall>> Saved::call(std::string_view athlete, Day date, std::string_view command) {
  Statement& s = newest_call_.with(athlete, date, command);
  STEELYARD_TRY_ASSIGN(const bool found, s.step());
  if (!found) return std::nullopt;
  StoredCall call{.athlete = std::string(athlete),
                  .date = date,
                  .command = std::string(command),
                  .made_at = s.moment(0),
                  .inputs_digest = std::string(s.text(1)),
                  .model_version = std::string(s.text(2)),
                  .model_digest = std::string(s.text(3)),
                  .json = std::string(s.text(4)),
                  .text = std::string(s.text(5))};
  s.reset();
  return call;
}

Result<void> Saved::save(const Decision& d, Instant at) {
  add_decision_.with(d.athlete, d.date, d.lift, d.follows ? 1 : 0, d.called, d.reason, d.done, at);
  return add_decision_.run();
}

/// Whether the log that the state was made from is the one that is stored; while the transaction lasts, it stays so.
/// Nobody waits for an entry that is under way: it would drop the state.
Result<bool> Saved::is_fresh(const StoredState& state) {
  if (!state.newest_entry) return true;
  STEELYARD_TRY_ASSIGN(const bool locked, db_.try_to_lock_athlete(state.athlete));
  if (!locked) return false;
  STEELYARD_TRY_ASSIGN(const auto newest, newest_entry_.with(state.athlete).number());
  return newest == *state.newest_entry;
}

Result<void> Saved::save(const std::vector<StoredState>& states) {
  Transaction work(db_);
  STEELYARD_TRY(work.begin());
  const StoredState* last = nullptr;
  bool fresh = true;
  for (const auto& s : states) {
    if (last == nullptr || last->athlete != s.athlete || last->newest_entry != s.newest_entry) {
      STEELYARD_TRY_ASSIGN(fresh, is_fresh(s));
    }
    last = &s;
    if (!fresh) continue;
    add_state_.with(s.athlete, s.target, s.date, s.model_digest).bind_bytes(5, s.bytes);
    STEELYARD_TRY(add_state_.run());
  }
  return work.commit();
}

Result<std::optional<StoredState>> Saved::state(std::string_view athlete, std::string_view target, Day day) {
  Statement& s = newest_state_.with(athlete, target, day);
  STEELYARD_TRY_ASSIGN(const bool found, s.step());
  if (!found) return std::nullopt;
  StoredState state{.athlete = std::string(athlete),
                    .target = std::string(target),
                    .date = s.day(0),
                    .model_digest = std::string(s.text(1)),
                    .bytes = std::string(s.text(2))};
  s.reset();
  return state;
}

Result<void> Saved::drop_states(std::string_view athlete, Day from) {
  return drop_states_.with(athlete, from).run();
}

Result<void> Saved::save(const std::vector<StoredForecast>& forecasts) {
  Transaction work(db_);
  STEELYARD_TRY(work.begin());
  for (const auto& f : forecasts) {
    add_forecast_.with(f.athlete, f.date, f.target, f.made_on, f.mean, f.low80, f.high80);
    if (f.observed) {
      add_forecast_.bind(8, *f.observed);
    } else {
      add_forecast_.bind(8, nullptr);
    }
    STEELYARD_TRY(add_forecast_.run());
  }
  return work.commit();
}

Result<std::vector<StoredForecast>> Saved::forecasts(std::string_view athlete) {
  std::vector<StoredForecast> all;
  Statement& s = forecasts_.with(athlete);
  STEELYARD_TRY(each(s, [&]() -> Result<void> {
    StoredForecast f{.athlete = std::string(athlete),
                     .date = s.day(0),
                     .target = std::string(s.text(1)),
                     .made_on = s.day(2),
                     .mean = s.real(3),
                     .low80 = s.real(4),
                     .high80 = s.real(5),
                     .observed = std::nullopt};
    if (!s.is_null(6)) f.observed = s.real(6);
    all.push_back(std::move(f));
    return {};
  }));
  return all;
}

}  // namespace steelyard::store
