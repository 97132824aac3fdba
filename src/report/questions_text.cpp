#include <fmt/format.h>

#include "steelyard/base/text.hpp"
#include "steelyard/report/sheet.hpp"
#include "steelyard/report/text.hpp"

namespace steelyard::report {

std::string questions_text(std::span<const Question> questions, const Look& look) {
  Page page(look);
  if (questions.empty()) {
    page.text("No entry waits for an answer.", Weight::bold);
    return page.take();
  }
  page.text(fmt::format("{} for an answer and {} until then.", counted(questions.size(), "entry waits", "entries wait"),
                        questions.size() == 1 ? "counts nowhere" : "count nowhere"),
            Weight::bold);
  for (const Question& question : questions) {
    page.blank();
    page.hanging(fmt::format("{}. ", question.id), fmt::format("{}, {}", question.athlete, long_day(question.date)), 0,
                 Weight::bold);
    page.labelled("in doubt", question.say);
    if (!question.fields.empty()) page.labelled("left out", join_words(question.fields));
    page.labelled("as it is", unbroken(fmt::format("steelyard questions --keep {}", question.id)));
    page.labelled("corrected", unbroken(fmt::format("steelyard questions --fix {} ...", question.id)));
    page.labelled("not at all", unbroken(fmt::format("steelyard questions --drop {}", question.id)));
  }
  return page.take();
}

}  // namespace steelyard::report
