#pragma once
/// The service's part of the store.

#include "steelyard/store/service.hpp"
#include "store/database.hpp"

namespace steelyard::store {

/// Tables of version 2.
[[nodiscard]] Result<void> create_service_tables(Database& db);
/// Version 4: where the files of a briefing are, and who decided on a line of the week.
[[nodiscard]] Result<void> add_service_columns(Database& db);

class ServiceTables final : public Service {
 public:
  explicit ServiceTables(Database& db) : db_(db) {}

  [[nodiscard]] Result<std::unique_ptr<Work>> begin_work() override;

  [[nodiscard]] Result<std::int64_t> version() override;

  [[nodiscard]] Result<std::int64_t> add_token(const Token& token) override;
  [[nodiscard]] Result<std::optional<Token>> token(std::string_view hash) override;
  [[nodiscard]] Result<std::vector<Token>> tokens() override;
  [[nodiscard]] Result<bool> revoke_token(std::int64_t id, Instant at) override;
  [[nodiscard]] Result<void> drop_sessions(Instant before) override;

  [[nodiscard]] Result<void> add_accesses(std::span<const Access> accesses) override;
  [[nodiscard]] Result<std::vector<Access>> accesses(std::string_view athlete) override;
  [[nodiscard]] Result<void> drop_accesses(Instant before) override;

  [[nodiscard]] Result<bool> claim_reply(std::string_view key, Instant at) override;
  [[nodiscard]] Result<void> save_reply(std::string_view key, const Reply& reply, Instant at) override;
  [[nodiscard]] Result<std::optional<Reply>> reply(std::string_view key) override;
  [[nodiscard]] Result<void> drop_replies(Instant before) override;

  [[nodiscard]] Result<bool> hold_lease(std::string_view name, std::string_view holder, Instant now,
                                        Instant until) override;
  [[nodiscard]] Result<std::string> lease_holder(std::string_view name) override;
  [[nodiscard]] Result<void> release_lease(std::string_view name, std::string_view holder) override;

  [[nodiscard]] Result<bool> has_briefing(std::string_view kind, std::string_view subject, Day date) override;
  [[nodiscard]] Result<void> add_briefing(const Briefing& briefing) override;
  [[nodiscard]] Result<std::vector<Briefing>> undelivered(Instant now) override;
  [[nodiscard]] Result<void> set_delivered(const Briefing& briefing, Instant at) override;
  [[nodiscard]] Result<void> put_off(const Briefing& briefing, Instant next_try) override;
  [[nodiscard]] Result<bool> note_outbox(const Briefing& briefing, std::string_view path) override;
  [[nodiscard]] Result<std::vector<std::string>> outbox_paths(std::string_view athlete) override;

  [[nodiscard]] Result<void> note_file(std::string_view digest, std::string_view outcome) override;
  [[nodiscard]] Result<std::optional<std::string>> noted_file(std::string_view digest) override;
  [[nodiscard]] Result<void> forget_file(std::string_view digest) override;

  [[nodiscard]] Result<void> save_week_decision(const WeekDecision& decision) override;
  [[nodiscard]] Result<std::vector<WeekDecision>> week_decisions(std::string_view week) override;

 private:
  template <class... Values>
  [[nodiscard]] Result<void> run(const char* sql, const Values&... values);

  Database& db_;
  Statement token_by_hash_{db_,
                           "select id, hash, parent, role, athlete, \"group\", note, made, expires, revoked "
                           "from tokens where hash = ?1"};
  Statement add_access_{db_, "insert into accesses (at, token, athlete, what, status) values (?1, ?2, ?3, ?4, ?5)"};
};

}  // namespace steelyard::store
