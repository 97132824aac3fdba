#include "store/service_tables.hpp"

#include "store/schema.hpp"

namespace steelyard::store {
namespace {

Token token_in(const Statement& s) {
  Token token{.id = s.integer(0),
              .hash = std::string(s.text(1)),
              .parent = s.integer(2),
              .role = std::string(s.text(3)),
              .athlete = std::string(s.text(4)),
              .group = std::string(s.text(5)),
              .note = std::string(s.text(6)),
              .made = s.moment(7),
              .expires = s.moment(8),
              .revoked = std::nullopt};
  if (!s.is_null(9)) token.revoked = s.moment(9);
  return token;
}

class WholeWork final : public Work {
 public:
  explicit WholeWork(Database& db) : transaction_(db) {}
  [[nodiscard]] Result<void> begin() { return transaction_.begin(); }
  [[nodiscard]] Result<void> commit() override { return transaction_.commit(); }

 private:
  Transaction transaction_;
};

}  // namespace

Result<void> create_service_tables(Database& db) {
  // {key}: the number of a token stands in accesses and must not come to mean another one.
  return db.run(in_words_of(db.dialect(), R"sql(
create table tokens (id {key}, hash {bytes} not null unique, parent {long} not null,
  role {text} not null, athlete {text} not null, "group" {text} not null, note {text} not null, made {long} not null,
  expires {long} not null, revoked {long}){end};
create index tokens_by_parent on tokens (parent);
create table accesses (id {counted}, at {long} not null, token {long} not null, athlete {text} not null,
  what {text} not null, status {int} not null){end};
create index accesses_by_athlete on accesses (athlete, id);
create table replies (key {text} primary key, request_digest {text} not null, status {int} not null,
  body {text} not null, at {long} not null){keyed};
create table leases (name {text} primary key, holder {text} not null, until {long} not null){keyed};
create table briefings (kind {text} not null, subject {text} not null, athlete {text} not null, date {int} not null,
  made_at {long} not null, say {text} not null, html {text} not null, json {text} not null, tries {int} not null,
  next_try {long} not null, delivered {long}, primary key (kind, subject, date)){keyed};
create index briefings_waiting on briefings (next_try) where delivered is null;
create table inbox_files (digest {text} primary key, outcome {text} not null){keyed};
create table week_decisions (id {counted}, week {text} not null, athlete {text} not null, decision {text} not null,
  note {text} not null, at {long} not null){end};
create index week_decisions_by_week on week_decisions (week, athlete, id);
)sql"));
}

Result<void> add_service_columns(Database& db) {
  return db.run(in_words_of(db.dialect(), R"sql(
alter table briefings add column outbox {text} not null default '';
alter table week_decisions add column by_whom {text} not null default '';
)sql"));
}

template <class... Values>
Result<void> ServiceTables::run(const char* sql, const Values&... values) {
  Statement statement(db_, sql);
  return statement.with(values...).run();
}

Result<std::unique_ptr<Work>> ServiceTables::begin_work() {
  if (db_.in_transaction()) return fail(Errc::failed, "other work with the store is not finished");
  auto work = std::make_unique<WholeWork>(db_);
  STEELYARD_TRY(work->begin());
  return work;
}

Result<std::int64_t> ServiceTables::version() {
  return db_.version();
}

// ------------------------------------------------------------------------------------------ tokens
Result<std::int64_t> ServiceTables::add_token(const Token& t) {
  Statement add(db_,
                "insert into tokens (hash, parent, role, athlete, \"group\", note, made, expires) "
                "values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) returning id");
  add.bind_bytes(1, t.hash).bind(2, t.parent).bind(3, t.role).bind(4, t.athlete).bind(5, t.group).bind(6, t.note);
  return add.bind(7, t.made).bind(8, t.expires).number();
}

Result<std::optional<Token>> ServiceTables::token(std::string_view hash) {
  STEELYARD_TRY_ASSIGN(const bool found, token_by_hash_.bind_bytes(1, hash).step());
  if (!found) return std::nullopt;
  Token token = token_in(token_by_hash_);
  token_by_hash_.reset();
  return token;
}

Result<std::vector<Token>> ServiceTables::tokens() {
  Statement all(db_,
                "select id, hash, parent, role, athlete, \"group\", note, made, expires, revoked from tokens "
                "where parent = 0 order by id");
  std::vector<Token> tokens;
  STEELYARD_TRY(each(all, [&]() -> Result<void> {
    tokens.push_back(token_in(all));
    return {};
  }));
  return tokens;
}

Result<bool> ServiceTables::revoke_token(std::int64_t id, Instant at) {
  STEELYARD_TRY(run("update tokens set revoked = ?2 where (id = ?1 or parent = ?1) and revoked is null", id, at));
  return db_.changes() > 0;
}

Result<void> ServiceTables::drop_sessions(Instant before) {
  return run("delete from tokens where parent <> 0 and (expires < ?1 or revoked is not null)", before);
}

// ------------------------------------------------------------------------------------------ accesses
Result<void> ServiceTables::add_accesses(std::span<const Access> accesses) {
  if (accesses.empty()) return {};
  Transaction work(db_);
  STEELYARD_TRY(work.begin());
  for (const Access& a : accesses) {
    STEELYARD_TRY(add_access_.with(a.at, a.token, a.athlete, a.what, a.status).run());
  }
  return work.commit();
}

Result<std::vector<Access>> ServiceTables::accesses(std::string_view athlete) {
  Statement select(db_, "select at, token, what, status from accesses where athlete = ?1 order by id");
  std::vector<Access> all;
  STEELYARD_TRY(each(select.with(athlete), [&]() -> Result<void> {
    all.push_back({.at = select.moment(0),
                   .token = select.integer(1),
                   .athlete = std::string(athlete),
                   .what = std::string(select.text(2)),
                   .status = static_cast<int>(select.integer(3))});
    return {};
  }));
  return all;
}

Result<void> ServiceTables::drop_accesses(Instant before) {
  return run("delete from accesses where at < ?1", before);
}

// ------------------------------------------------------------------------------------------ replies
Result<bool> ServiceTables::claim_reply(std::string_view key, Instant at) {
  STEELYARD_TRY(
      run("insert into replies (key, request_digest, status, body, at) values (?1, '', 0, '', ?2) on conflict (key) "
          "do nothing",
          key, at));
  return db_.changes() > 0;
}

Result<void> ServiceTables::save_reply(std::string_view key, const Reply& reply, Instant at) {
  return run(
      "insert into replies (key, request_digest, status, body, at) values (?1, ?2, ?3, ?4, ?5) on conflict (key) do "
      "update set request_digest = excluded.request_digest, status = excluded.status, body = excluded.body, "
      "at = excluded.at",
      key, reply.request_digest, reply.status, reply.body, at);
}

Result<std::optional<Reply>> ServiceTables::reply(std::string_view key) {
  Statement select(db_, "select request_digest, status, body from replies where key = ?1");
  STEELYARD_TRY_ASSIGN(const bool found, select.with(key).step());
  if (!found) return std::nullopt;
  return Reply{.request_digest = std::string(select.text(0)),
               .status = static_cast<int>(select.integer(1)),
               .body = std::string(select.text(2))};
}

Result<void> ServiceTables::drop_replies(Instant before) {
  return run("delete from replies where at < ?1", before);
}

// ------------------------------------------------------------------------------------------ leases
Result<bool> ServiceTables::hold_lease(std::string_view name, std::string_view holder, Instant now, Instant until) {
  STEELYARD_TRY(
      run("insert into leases (name, holder, until) values (?1, ?2, ?4) on conflict (name) do update set "
          "holder = excluded.holder, until = excluded.until where leases.holder = ?2 or leases.until <= ?3",
          name, holder, now, until));
  return db_.changes() > 0;
}

Result<std::string> ServiceTables::lease_holder(std::string_view name) {
  Statement select(db_, "select holder from leases where name = ?1");
  STEELYARD_TRY_ASSIGN(const bool found, select.with(name).step());
  return found ? std::string(select.text(0)) : std::string{};
}

Result<void> ServiceTables::release_lease(std::string_view name, std::string_view holder) {
  return run("delete from leases where name = ?1 and holder = ?2", name, holder);
}

// ------------------------------------------------------------------------------------------ briefings
Result<bool> ServiceTables::has_briefing(std::string_view kind, std::string_view subject, Day date) {
  Statement select(db_, "select 1 from briefings where kind = ?1 and subject = ?2 and date = ?3");
  return select.with(kind, subject, date).exists();
}

Result<void> ServiceTables::add_briefing(const Briefing& b) {
  const std::string_view athlete = b.kind == "day" ? std::string_view(b.subject) : std::string_view{};
  return run(
      "insert into briefings (kind, subject, athlete, date, made_at, say, html, json, tries, next_try) "
      "values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, 0, 0)",
      b.kind, b.subject, athlete, b.date, b.made_at, b.text, b.html, b.json);
}

Result<std::vector<Briefing>> ServiceTables::undelivered(Instant now) {
  Statement select(db_,
                   "select kind, subject, date, made_at, say, html, json, tries from briefings "
                   "where delivered is null and next_try <= ?1 order by made_at, kind, subject");
  std::vector<Briefing> all;
  STEELYARD_TRY(each(select.with(now), [&]() -> Result<void> {
    all.push_back({.kind = std::string(select.text(0)),
                   .subject = std::string(select.text(1)),
                   .date = select.day(2),
                   .made_at = select.moment(3),
                   .text = std::string(select.text(4)),
                   .html = std::string(select.text(5)),
                   .json = std::string(select.text(6)),
                   .tries = static_cast<int>(select.integer(7))});
    return {};
  }));
  return all;
}

Result<void> ServiceTables::set_delivered(const Briefing& b, Instant at) {
  return run("update briefings set delivered = ?4 where kind = ?1 and subject = ?2 and date = ?3", b.kind, b.subject,
             b.date, at);
}

Result<void> ServiceTables::put_off(const Briefing& b, Instant next_try) {
  return run("update briefings set tries = tries + 1, next_try = ?4 where kind = ?1 and subject = ?2 and date = ?3",
             b.kind, b.subject, b.date, next_try);
}

Result<bool> ServiceTables::note_outbox(const Briefing& b, std::string_view path) {
  STEELYARD_TRY(run("update briefings set outbox = ?4 where kind = ?1 and subject = ?2 and date = ?3", b.kind,
                    b.subject, b.date, path));
  return db_.changes() > 0;
}

Result<std::vector<std::string>> ServiceTables::outbox_paths(std::string_view athlete) {
  Statement select(db_,
                   "select distinct outbox from briefings where outbox <> '' and "
                   "(athlete = ?1 or (kind = 'week' and replace(json, ?1, '') <> json)) order by outbox");
  std::vector<std::string> paths;
  STEELYARD_TRY(each(select.with(athlete), [&]() -> Result<void> {
    paths.emplace_back(select.text(0));
    return {};
  }));
  return paths;
}

// ------------------------------------------------------------------------------------------ inbox
Result<void> ServiceTables::note_file(std::string_view digest, std::string_view outcome) {
  return run(
      "insert into inbox_files (digest, outcome) values (?1, ?2) on conflict (digest) do update set "
      "outcome = excluded.outcome",
      digest, outcome);
}

Result<std::optional<std::string>> ServiceTables::noted_file(std::string_view digest) {
  Statement select(db_, "select outcome from inbox_files where digest = ?1");
  STEELYARD_TRY_ASSIGN(const bool found, select.with(digest).step());
  if (!found) return std::nullopt;
  return std::string(select.text(0));
}

Result<void> ServiceTables::forget_file(std::string_view digest) {
  return run("delete from inbox_files where digest = ?1", digest);
}

// ------------------------------------------------------------------------------------------ the week
Result<void> ServiceTables::save_week_decision(const WeekDecision& d) {
  return run("insert into week_decisions (week, athlete, decision, note, by_whom, at) values (?1, ?2, ?3, ?4, ?5, ?6)",
             d.week, d.athlete, d.decision, d.note, d.by, d.at);
}

Result<std::vector<WeekDecision>> ServiceTables::week_decisions(std::string_view week) {
  Statement select(db_,
                   "select athlete, decision, note, by_whom, at from week_decisions where id in (select max(id) from "
                   "week_decisions where week = ?1 group by athlete) order by athlete");
  std::vector<WeekDecision> all;
  STEELYARD_TRY(each(select.with(week), [&]() -> Result<void> {
    all.push_back({.week = std::string(week),
                   .athlete = std::string(select.text(0)),
                   .decision = std::string(select.text(1)),
                   .note = std::string(select.text(2)),
                   .by = std::string(select.text(3)),
                   .at = select.moment(4)});
    return {};
  }));
  return all;
}

}  // namespace steelyard::store
