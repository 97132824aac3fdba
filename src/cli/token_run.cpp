#include <fmt/core.h>

#include <array>

#include "cli/commands.hpp"
#include "steelyard/app/access.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/cells.hpp"

namespace steelyard::cli {
namespace {

using namespace std::string_view_literals;

std::string day_text(Instant at) {
  return format_day(std::chrono::floor<Days>(std::chrono::local_seconds{at.time_since_epoch()}));
}

std::string_view state_of(const store::Token& token, Instant now) {
  if (token.revoked) return "revoked";
  return now < token.expires ? "valid" : "expired";
}

/// Whom a token is for: "lifter hc01", "coach of club", "coach of everybody".
std::string whose(std::string_view role, std::string_view athlete, std::string_view group) {
  if (role == app::role_word(app::Role::lifter)) return fmt::format("lifter {}", athlete);
  return fmt::format("coach of {}", group.empty() ? "everybody" : group);
}

RunResult add_token(Run& run, app::Context& context) {
  STEELYARD_TRY(run.expect_words(1, 1, "token add --role lifter|coach"));
  const std::string role = run.text("role").value_or("");
  constexpr std::array roles{"lifter"sv, "coach"sv};
  if (role != "lifter" && role != "coach") {
    return fail(Errc::usage, not_a_word(role, "a role", roles), "--role");
  }
  app::TokenRequest request{.role = role == "coach" ? app::Role::coach : app::Role::lifter,
                            .group = run.text("group").value_or(""),
                            .note = run.text("note").value_or("")};
  STEELYARD_TRY_ASSIGN(const auto days, run.whole_number("days"));
  if (days) request.days = *days;
  if (request.role == app::Role::lifter) {
    if (run.has("group")) return fail(Errc::usage, "goes with --role coach", "--group");
    STEELYARD_TRY_ASSIGN(const Athlete athlete, run.athlete(context));
    request.athlete = athlete.athlete;
  }
  STEELYARD_TRY_ASSIGN(const auto issued, app::issue_token(context, request));
  run.terminal.note(
      fmt::format("note: token {} for {}, valid until {}. It is shown once and kept nowhere: store it now.", issued.id,
                  whose(role, request.athlete, request.group), day_text(issued.expires)));
  if (!run.globals.json) {
    STEELYARD_TRY(run.terminal.out(issued.secret + '\n'));
    return 0;
  }
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).field("id", issued.id).field("token", issued.secret);
  writer.field("expires", day_text(issued.expires)).end_object();
  STEELYARD_TRY(run.terminal.out(json + '\n'));
  return 0;
}

RunResult list_tokens(Run& run, app::Context& context) {
  STEELYARD_TRY(run.expect_words(1, 1, "token list"));
  STEELYARD_TRY_ASSIGN(const auto tokens, app::list_tokens(context));
  std::string text;
  std::string json;
  report::JsonWriter writer(json);
  writer.begin_object().field("schema", 1).key("tokens").begin_array();
  for (const store::Token& token : tokens) {
    const auto state = state_of(token, context.now);
    text += fmt::format("{:<3} {:<8} until {}  {}{}\n", token.id, state, day_text(token.expires),
                        report::clean(whose(token.role, token.athlete, token.group), run.look()),
                        token.note.empty() ? std::string{} : "  " + report::clean(token.note, run.look()));
    writer.begin_object().field("id", token.id).field("role", token.role).field("athlete", token.athlete);
    writer.field("group", token.group).field("note", token.note).field("made", day_text(token.made));
    writer.field("expires", day_text(token.expires)).field("state", state).end_object();
  }
  writer.end_array().end_object();
  STEELYARD_TRY(run.terminal.out(run.globals.json ? json + '\n' : text.empty() ? "No tokens yet.\n" : text));
  return 0;
}

RunResult revoke_token(Run& run, app::Context& context) {
  STEELYARD_TRY(run.expect_words(2, 2, "token revoke ID"));
  const auto id = parse_int(run.words[1]);
  if (!id) return fail(Errc::usage, fmt::format("{} is not the number of a token", in_quotes(run.words[1])));
  STEELYARD_TRY(app::revoke_token(context, *id));
  STEELYARD_TRY(
      run.terminal.out(fmt::format("Token {} opens nothing any more, nor does any log-in made with it.\n", *id)));
  return 0;
}

}  // namespace

RunResult run_token(Run& run) {
  STEELYARD_TRY(run.expect_words(1, 2, "token add | list | revoke ID"));
  struct Action {
    std::string_view name;
    RunResult (*run)(Run&, app::Context&);
  };
  constexpr std::array<Action, 3> actions{{{"add", add_token}, {"list", list_tokens}, {"revoke", revoke_token}}};
  for (const Action& action : actions) {
    if (action.name != run.words[0]) continue;
    STEELYARD_TRY_ASSIGN(app::Context context, run.context());
    return action.run(run, context);
  }
  constexpr std::array names{"add"sv, "list"sv, "revoke"sv};
  return fail(Errc::usage, not_a_word(run.words[0], "what token does", names));
}

}  // namespace steelyard::cli
