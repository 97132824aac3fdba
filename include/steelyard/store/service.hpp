#pragma once
/// What a running service keeps in the store beside the entries: tokens, who looked at what, answers already given,
/// leases, briefings, and files that were read but not yet moved.
/// errors  as store.hpp

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/base/day.hpp"
#include "steelyard/base/result.hpp"
#include "steelyard/base/zone.hpp"

namespace steelyard::store {

/// A transaction around whatever the store is asked to do until commit(), entries included. Destroyed without commit,
/// it leaves nothing behind. One at a time; it must not outlive its store.
class Work {
 public:
  virtual ~Work() = default;
  [[nodiscard]] virtual Result<void> commit() = 0;
};

/// A secret that opens the service, kept as its digest only. A log-in of the page is one too, with a parent.
struct Token {
  std::int64_t id = 0;
  std::string hash;  ///< 32 bytes
  std::int64_t parent = 0;
  std::string role;     ///< "lifter", "coach"
  std::string athlete;  ///< of a lifter
  std::string group;    ///< of a coach; empty = everybody
  std::string note;
  Instant made{};
  Instant expires{};
  std::optional<Instant> revoked;
};

/// One look at, or change of, a person's data.
struct Access {
  Instant at{};
  std::int64_t token = 0;  ///< 0 = the owner of the machine, without a token
  std::string athlete;     ///< empty = a whole group
  std::string what;        ///< the route's method and pattern
  int status = 0;
};

/// The answer to a request that may be sent again under the same key.
struct Reply {
  std::string request_digest;
  int status = 0;
  std::string body;
};

struct Briefing {
  std::string kind;     ///< "day", "week"
  std::string subject;  ///< an athlete's code; a group's name, empty = everybody
  Day date{};           ///< the day it is for
  Instant made_at{};
  std::string text;
  std::string html;
  std::string json;
  int tries = 0;  ///< times it was handed over without success
};

/// What a coach did with a line of the week's list.
struct WeekDecision {
  std::string week;  ///< "2026-W47"
  std::string athlete;
  std::string decision;  ///< "accept", "change", "ignore"
  std::string note;
  std::string by;  ///< who decided, in words
  Instant at{};
};

class Service {
 public:
  virtual ~Service() = default;

  [[nodiscard]] virtual Result<std::unique_ptr<Work>> begin_work() = 0;

  /// A number that is another one after every change that somebody else has committed. Changes through this very
  /// connection do not count. On a server it may be another one without a change, too.
  [[nodiscard]] virtual Result<std::int64_t> version() = 0;

  // ------------------------------------------------------------------------------------------ tokens
  [[nodiscard]] virtual Result<std::int64_t> add_token(const Token& token) = 0;  ///< `id` is not looked at
  [[nodiscard]] virtual Result<std::optional<Token>> token(std::string_view hash) = 0;
  /// All without a parent, revoked and expired ones too, ascending by number.
  [[nodiscard]] virtual Result<std::vector<Token>> tokens() = 0;
  /// The token and the log-ins made with it. false = there is no such token, or it was revoked before.
  [[nodiscard]] virtual Result<bool> revoke_token(std::int64_t id, Instant at) = 0;
  /// Log-ins that ended before that moment go.
  [[nodiscard]] virtual Result<void> drop_sessions(Instant before) = 0;

  // ------------------------------------------------------------------------------------------ accesses
  [[nodiscard]] virtual Result<void> add_accesses(std::span<const Access> accesses) = 0;
  /// In the order in which they were added. errors  none of its own
  [[nodiscard]] virtual Result<std::vector<Access>> accesses(std::string_view athlete) = 0;
  [[nodiscard]] virtual Result<void> drop_accesses(Instant before) = 0;

  // ------------------------------------------------------------------------------------------ replies
  /// Takes a key for the answer that is being made; it is let go with the work around it. false = it is taken. On a
  /// server, somebody else's work with that key is waited for. errors  busy (for too long)
  [[nodiscard]] virtual Result<bool> claim_reply(std::string_view key, Instant at) = 0;
  [[nodiscard]] virtual Result<void> save_reply(std::string_view key, const Reply& reply, Instant at) = 0;
  [[nodiscard]] virtual Result<std::optional<Reply>> reply(std::string_view key) = 0;
  [[nodiscard]] virtual Result<void> drop_replies(Instant before) = 0;

  // ------------------------------------------------------------------------------------------ leases
  /// Takes or prolongs the lease. false = somebody else holds it at `now`.
  [[nodiscard]] virtual Result<bool> hold_lease(std::string_view name, std::string_view holder, Instant now,
                                                Instant until) = 0;
  /// Empty = nobody.
  [[nodiscard]] virtual Result<std::string> lease_holder(std::string_view name) = 0;
  [[nodiscard]] virtual Result<void> release_lease(std::string_view name, std::string_view holder) = 0;

  // ------------------------------------------------------------------------------------------ briefings
  [[nodiscard]] virtual Result<bool> has_briefing(std::string_view kind, std::string_view subject, Day date) = 0;
  /// errors  bad_data (it is there already)
  [[nodiscard]] virtual Result<void> add_briefing(const Briefing& briefing) = 0;
  /// Briefings that were not handed over and whose next try is due, ascending by moment of making.
  [[nodiscard]] virtual Result<std::vector<Briefing>> undelivered(Instant now) = 0;
  [[nodiscard]] virtual Result<void> set_delivered(const Briefing& briefing, Instant at) = 0;
  [[nodiscard]] virtual Result<void> put_off(const Briefing& briefing, Instant next_try) = 0;
  /// Keeps where the files of a briefing will be: their path without what follows the last point. false = the briefing
  /// is not there any more.
  [[nodiscard]] virtual Result<bool> note_outbox(const Briefing& briefing, std::string_view path) = 0;
  /// The paths of files that tell of an athlete: of their own briefings, and of the weeks in which their code stands.
  [[nodiscard]] virtual Result<std::vector<std::string>> outbox_paths(std::string_view athlete) = 0;

  // ------------------------------------------------------------------------------------------ inbox
  /// A file whose rows are stored, noted in the same transaction; forgotten once it has left the inbox.
  [[nodiscard]] virtual Result<void> note_file(std::string_view digest, std::string_view outcome) = 0;
  [[nodiscard]] virtual Result<std::optional<std::string>> noted_file(std::string_view digest) = 0;
  [[nodiscard]] virtual Result<void> forget_file(std::string_view digest) = 0;

  // ------------------------------------------------------------------------------------------ the week
  [[nodiscard]] virtual Result<void> save_week_decision(const WeekDecision& decision) = 0;
  /// The last one an athlete, ascending by code.
  [[nodiscard]] virtual Result<std::vector<WeekDecision>> week_decisions(std::string_view week) = 0;
};

}  // namespace steelyard::store
