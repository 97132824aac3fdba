#pragma once
/// What an answer is written on. The functions that word an answer know a Sheet only, so that a terminal, paper and the
/// web page carry the same sentences.

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/domain/call.hpp"
#include "steelyard/domain/figures.hpp"
#include "steelyard/domain/learned.hpp"
#include "steelyard/report/chart.hpp"
#include "steelyard/report/look.hpp"

namespace steelyard::report {

struct Column {
  std::string head;
  bool right = false;  ///< numbers stand right
};

/// A cell that does not fit is wrapped inside its column.
struct Table {
  std::vector<Column> columns;
  std::vector<std::vector<std::string>> rows;
};

/// domain  text of any origin; every sheet cleans and escapes it itself
class Sheet {
 public:
  virtual ~Sheet() = default;

  /// bold: the sentence that everything else explains
  virtual void text(std::string_view text, Weight weight = Weight::plain) = 0;
  virtual void heading(std::string_view text) = 0;
  virtual void bullet(std::string_view text) = 0;
  /// An empty label: more of the one above.
  virtual void labelled(std::string_view label, std::string_view text) = 0;
  virtual void table(const Table& table) = 0;
  virtual void blank() = 0;
  /// What follows up to unfold() may be closed until somebody opens it: the figures behind an answer.
  virtual void fold(std::string_view /*name*/) {}
  virtual void unfold() {}
  /// The reader can type the command that is named beside an answer.
  [[nodiscard]] virtual bool takes_commands() const { return false; }

  virtual void level(const Level& level) = 0;
  virtual void load_chart(std::span<const DayFigures> days) = 0;
  virtual void strength_chart(const LiftStrength& lift) = 0;
  /// How a person gets out of a caution that stops training.
  virtual void way_out(const Caution& caution, std::string_view athlete) = 0;
};

/// Lines for a terminal.
/// definition  Lines are never wider than usable_width(look) columns. Weight of type (bold, dim) is the only use of
///             colour codes; nothing is told by a hue.
class Page : public Sheet {
 public:
  explicit Page(const Look& look) : look_(look) {}

  void text(std::string_view text, Weight weight = Weight::plain) override { hanging("", text, 0, weight); }
  void heading(std::string_view text) override { hanging("", text, 0, Weight::bold); }
  void bullet(std::string_view text) override { hanging("- ", text, 2); }
  /// "  label       text", with the text's column the same for all labels.
  void labelled(std::string_view label, std::string_view text) override;
  void table(const Table& table) override;
  void blank() override;
  [[nodiscard]] bool takes_commands() const override { return true; }
  void level(const Level& level) override;
  void load_chart(std::span<const DayFigures> days) override;
  void strength_chart(const LiftStrength& lift) override;
  void way_out(const Caution& caution, std::string_view athlete) override;
  /// `lead` before the first line, the following lines below the text and not below the lead.
  void hanging(std::string_view lead, std::string_view text, std::size_t indent, Weight weight = Weight::plain);

  [[nodiscard]] std::string take() { return std::move(out_); }

 private:
  /// A drawn row: blanks are kept, what is too wide is cut.
  void drawn(std::string_view row, Weight weight = Weight::plain);
  void emit(std::string_view line, std::size_t indent, Weight weight);

  Look look_;
  std::string out_;
};

}  // namespace steelyard::report
