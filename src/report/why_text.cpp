#include <fmt/format.h>

#include "report/today_parts.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"
#include "steelyard/report/sheet.hpp"
#include "steelyard/report/text.hpp"

namespace steelyard::report {
namespace {

constexpr int k_decimals = 3;  // tells two mornings apart; JSON has them all

std::string number(double x) {
  return format_number(x, k_decimals);
}

void write_limits(Page& page, const LiftCall& lift) {
  for (const LimitResult& limit : lift.limits) {
    page.labelled(limit.held ? "holds" : "broken", limit_line(limit, limit.id, k_decimals));
    if (!limit.say.empty()) page.labelled("", limit.say);
    if (!limit.source.empty()) page.labelled("", "source: " + limit.source);
  }
}

void write_expected(Page& page, const ExpectedStrength& e) {
  page.labelled("expected", fmt::format("{} % of the training max, 80 % interval {} to {}; {}; {}", number(e.percent),
                                        number(e.low80), number(e.high80), fmt::format("{} sessions", e.sessions),
                                        e.learned ? "learned response" : "recent estimates, no response learned yet"));
  if (e.shares.empty()) return;
  page.labelled("", "shares in log points times 100, which add up to the difference from the reference:");
  for (const Share& share : e.shares) {
    page.labelled("", fmt::format("{}{} {}", share.percent > 0 ? "+" : "", number(share.percent), share.from));
  }
}

void write_lift(Page& page, const LiftCall& lift, const Look& look) {
  page.blank();
  page.text(capitalized(spoken_lift(lift.lift)), Weight::bold);
  page.labelled("planned", lift.planned ? prescription_text(*lift.planned, look) : "nothing");
  std::string actions;
  for (const Action action : lift.actions) actions += (actions.empty() ? "" : ", ") + std::string(action_code(action));
  page.labelled("call", fmt::format("{} ({})", prescription_text(lift.call, look), actions));
  if (lift.weight_kg) page.labelled("weight", weight_text(*lift.weight_kg, look));
  if (lift.rpe_cap) page.labelled("RPE cap", format_number(*lift.rpe_cap));
  page.labelled("confidence", confidence_word(lift.confidence));
  write_limits(page, lift);
  if (lift.expected) write_expected(page, *lift.expected);
}

}  // namespace

std::string why_text(const DayCall& call, const Look& look) {
  Page page(look);
  page.text(call.say.empty() ? "Nothing was said." : call.say[0], Weight::bold);
  for (std::size_t i = 1; i < call.say.size(); ++i) page.bullet(call.say[i]);
  for (const LiftCall& lift : call.calls) write_lift(page, lift, look);
  page.blank();
  for (const Caution& caution : call.cautions) {
    page.labelled("caution", fmt::format("{} ({}) since {}: {}", caution.id, urgency_word(caution.urgency),
                                         short_day(caution.since), caution.say));
    if (!caution.source.empty()) page.labelled("", "source: " + caution.source);
  }
  for (const Question& question : call.questions) {
    page.labelled("held aside", fmt::format("{} of {}: {}", question.doubt, short_day(question.date), question.say));
  }
  page.labelled("known", coverage_text(call.coverage));
  page.labelled("athlete", call.athlete);
  page.labelled("day", long_day(call.date));
  page.labelled("models", fmt::format("version {}, digest {}", call.model_version, call.model_digest));
  page.labelled("entries", fmt::format("digest {}", call.inputs_digest));
  return page.take();
}

}  // namespace steelyard::report
