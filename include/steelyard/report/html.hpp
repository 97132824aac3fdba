#pragma once
/// Answers as HTML: pieces for the web page, and whole pages for paper and mail that load nothing and run nothing.
/// definition  The sentences are those of the terminal (write.hpp). Every text is escaped; ids begin with `id`.
/// domain      Text may be anything that people typed.

#include <span>
#include <string>
#include <string_view>

#include "steelyard/domain/report.hpp"
#include "steelyard/report/sheet.hpp"

namespace steelyard::report {

/// Pieces of HTML: paragraphs, lists, tables, figures.
class HtmlSheet : public Sheet {
 public:
  /// top: level of the headings, 2-5
  HtmlSheet(const Look& look, std::string_view id, int top = 3);

  void text(std::string_view text, Weight weight = Weight::plain) override;
  void heading(std::string_view text) override;
  void bullet(std::string_view text) override;
  void labelled(std::string_view label, std::string_view text) override;
  void table(const Table& table) override;
  void blank() override {}
  void fold(std::string_view name) override;
  void unfold() override;
  void level(const Level& level) override;
  void load_chart(std::span<const DayFigures> days) override;
  void strength_chart(const LiftStrength& lift) override;
  void way_out(const Caution& caution, std::string_view athlete) override;

  /// A picture with its caption and, behind it, its figures.
  void figure(std::string_view svg, std::string_view caption, const Table& figures = {});
  /// Folds are closed on a screen and absent on paper, where nobody can open them.
  void set_folding() { folding_ = true; }
  /// What the load charts show instead of the days that the wording hands over. Both must outlive the sheet.
  void set_loads(std::span<const DayFigures> days, std::span<const UsualLoad> usual) {
    loads_ = days;
    usual_ = usual;
  }

  [[nodiscard]] std::string take();

 private:
  enum class Open { nothing, list, labels };
  void open(Open what);
  void put_table(const Table& table);
  [[nodiscard]] std::string next_id();

  Look look_;
  std::string id_;
  int top_;
  int ids_ = 0;
  Open open_ = Open::nothing;
  bool folding_ = false;
  std::span<const DayFigures> loads_;
  std::span<const UsualLoad> usual_;
  std::string out_;
};

/// Look for HTML: tables narrow enough for a phone.
[[nodiscard]] Look html_look(Unit units);

[[nodiscard]] std::string today_html(const DayCall& call, const Look& look, std::span<const KindBand> bands);
[[nodiscard]] std::string compare_html(const Comparison& comparison, const Look& look);
[[nodiscard]] std::string ahead_html(const Ahead& ahead, const Look& look);
[[nodiscard]] std::string week_html(const WeekReview& review, const Look& look);
[[nodiscard]] std::string loads_html(const LoadReport& report, const Look& look);
[[nodiscard]] std::string strength_html(const StrengthReport& report, const Look& look);

/// A small chart a lifter, with who is silent.
[[nodiscard]] std::string squad_html(const SquadReport& report);

/// One lifter: today, the charts, what each item is worth, today's options, the days ahead.
[[nodiscard]] std::string lifter_page(const LifterReport& report, const Look& look, std::span<const KindBand> bands);
/// The coach's week and a small chart a lifter.
[[nodiscard]] std::string squad_page(const SquadReport& report, const Look& look);
/// For the gym wall: large type, boxes for the pen, no health content.
[[nodiscard]] std::string wall_page(const WallSheet& sheet, const Look& look);

/// The style sheet of these pages, which styles the pieces as well.
[[nodiscard]] std::string_view sheet_css();

}  // namespace steelyard::report
