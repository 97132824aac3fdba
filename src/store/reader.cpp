#include "store/reader.hpp"

#include <algorithm>

#include "store/schema.hpp"

namespace steelyard::store {
namespace {

/// How far back symptoms, pain and notes are read: a caution stays open until it is cleared.
constexpr Days k_open_span{400};

template <class R>
std::string select(std::string_view rest) {
  return fmt::format("select {} from {} {}", column_list<R>(), table<R>(), rest);
}

template <class R>
Result<void> read_all(Statement& statement, std::vector<R>& rows) {
  return each(statement, [&] { return read_row(statement, 0, rows.emplace_back()); });
}

}  // namespace

std::string newest_entry_query() {
  return fmt::format("select entry from touches where athlete = ?1 order by {} desc limit 1", k_touch_order);
}

Reader::Reader(Database& db, Questions& questions)
    : db_(db),
      questions_(questions),
      athletes_(db, select<Athlete>("order by athlete")),
      athlete_(db, select<Athlete>("where athlete = ?1")),
      maxes_(db, select<TrainingMax>("where athlete = ?1 order by \"from\", lift")),
      plan_(db, select<PlanRow>("where athlete = ?1 and date between ?2 and ?3 order by date, position")),
      periods_(db, select<Period>("where (athlete = ?1 or (athlete = '' and \"group\" = ?2)) and \"to\" >= ?3 "
                                  "order by \"from\", athlete")),
      days_off_(db, select<DaysOff>("where athlete = ?1 and \"to\" >= ?2 order by \"from\"")),
      sessions_(db, select<Session>("where athlete = ?1 and date between ?4 and ?3 and (date >= ?2 or note <> '') "
                                    "order by date, part")),
      sets_(db, select<SetRow>("where athlete = ?1 and date between ?2 and ?3 order by date, part, position")),
      checks_(db, select<Check>("where athlete = ?1 and date between ?4 and ?3 "
                                "and (date >= ?2 or symptoms <> '' or pain <> '' or note <> '') order by date")),
      bar_(db, select<BarSpeed>("where athlete = ?1 and date between ?2 and ?3 order by date, lift, percent")),
      clearances_(db, select<Clearance>("where athlete = ?1 order by date, caution")),
      decisions_(
          db,
          "select date, lift, follows, called, reason, done from decisions where id in (select max(id) "
          "from decisions where athlete = ?1 and date between ?2 and ?3 group by date, lift) and (follows = 0 or not "
          "exists (select 1 from plan p join entries e on e.id = p.entry where p.athlete = decisions.athlete and "
          "p.date = decisions.date and p.lift = decisions.lift and e.at > decisions.at)) order by date, lift"),
      first_(db,
             "select min(day) from (select min(date) as day from sessions where athlete = ?1 "
             "union all select min(date) from checks where athlete = ?1) as firsts"),
      newest_(db, newest_entry_query()) {}

Result<std::vector<Athlete>> Reader::athletes() {
  std::vector<Athlete> all;
  STEELYARD_TRY(read_all(athletes_, all));
  return all;
}

Result<std::optional<Athlete>> Reader::athlete(std::string_view code) {
  std::vector<Athlete> found;
  STEELYARD_TRY(read_all(athlete_.with(code), found));
  if (found.empty()) return std::nullopt;
  return std::move(found.front());
}

Result<AthleteLog> Reader::log(std::string_view athlete_code, Day from, Day to) {
  Snapshot snapshot(db_);
  STEELYARD_TRY(snapshot.begin());
  AthleteLog log;
  STEELYARD_TRY_ASSIGN(auto found, athlete(athlete_code));
  if (!found) return fail(Errc::no_input, fmt::format("there is no athlete \"{}\" in the store", athlete_code));
  log.athlete = *std::move(found);
  STEELYARD_TRY(read_dated(log, from, to));
  STEELYARD_TRY(read_lasting(log, from));
  STEELYARD_TRY_ASSIGN(log.questions, questions_.open(athlete_code));
  STEELYARD_TRY_ASSIGN(log.decisions, decisions(athlete_code, from, to));
  STEELYARD_TRY_ASSIGN(log.first_entry, first_entry(athlete_code));
  STEELYARD_TRY(each(newest_.with(athlete_code), [&]() -> Result<void> {
    log.newest_entry = newest_.integer(0);
    return {};
  }));
  return log;
}

Result<void> Reader::read_dated(AthleteLog& log, Day from, Day to) {
  const std::string& code = log.athlete.athlete;
  const int first = day_number(from);
  const int last = day_number(to);
  const int oldest = std::min(first, day_number(to - k_open_span));
  STEELYARD_TRY(read_all(plan_.with(code, first, last), log.plan));
  STEELYARD_TRY(read_all(sessions_.with(code, first, last, oldest), log.sessions));
  STEELYARD_TRY(read_all(sets_.with(code, first, last), log.sets));
  STEELYARD_TRY(read_all(checks_.with(code, first, last, oldest), log.checks));
  return read_all(bar_.with(code, first, last), log.bar);
}

Result<void> Reader::read_lasting(AthleteLog& log, Day from) {
  const std::string& code = log.athlete.athlete;
  STEELYARD_TRY(read_all(maxes_.with(code), log.maxes));
  STEELYARD_TRY(read_all(periods_.with(code, log.athlete.group, from), log.periods));
  STEELYARD_TRY(read_all(days_off_.with(code, from), log.days_off));
  return read_all(clearances_.with(code), log.clearances);
}

Result<std::vector<Decision>> Reader::decisions(std::string_view athlete, Day from, Day to) {
  std::vector<Decision> all;
  decisions_.with(athlete, from, to);
  STEELYARD_TRY(each(decisions_, [&]() -> Result<void> {
    Decision d;
    d.athlete = athlete;
    d.date = decisions_.day(0);
    d.lift = decisions_.text(1);
    d.follows = decisions_.integer(2) != 0;
    d.called = decisions_.text(3);
    d.reason = decisions_.text(4);
    d.done = decisions_.text(5);
    all.push_back(std::move(d));
    return {};
  }));
  return all;
}

Result<std::optional<Day>> Reader::first_entry(std::string_view athlete) {
  std::optional<Day> first;
  STEELYARD_TRY(each(first_.with(athlete), [&]() -> Result<void> {
    if (!first_.is_null(0)) first = first_.day(0);
    return {};
  }));
  return first;
}

}  // namespace steelyard::store
