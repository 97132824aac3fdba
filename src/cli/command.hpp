#pragma once
/// A command of the program as data, and what it is given when it runs.

#include <boost/program_options/options_description.hpp>
#include <boost/program_options/variables_map.hpp>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "cli/terminal.hpp"
#include "steelyard/app/context.hpp"
#include "steelyard/app/show.hpp"

namespace steelyard::cli {

namespace po = boost::program_options;

/// What the options say that every command knows.
struct Globals {
  std::optional<std::string> data;
  std::optional<std::string> models;
  std::optional<std::string> athlete;       ///< as asked for this command
  std::optional<std::string> user_athlete;  ///< [user] athlete of the settings
  std::optional<Day> date;
  std::optional<Unit> units;
  bool json = false;
  bool quiet = false;
};

/// One run of a command. Results go to `out`, everything else to `terminal`.
class Run {
 public:
  Run(const Globals& the_globals, const po::variables_map& the_values, std::vector<std::string> the_words,
      Terminal& the_terminal)
      : globals(the_globals), values(the_values), words(std::move(the_words)), terminal(the_terminal) {}

  const Globals& globals;
  const po::variables_map& values;
  std::vector<std::string> words;      ///< what stands behind the command and is no option
  std::vector<std::string> arguments;  ///< everything behind the program's name but the command, as typed
  Terminal& terminal;

  /// errors  those of the model files
  [[nodiscard]] Result<const Models*> models();
  /// The open store with everything that the use cases need. errors  those of the store
  [[nodiscard]] Result<app::Context> context();
  /// Whom the command is about. errors  see app::find_athlete
  [[nodiscard]] Result<Athlete> athlete(app::Context& context) const;
  [[nodiscard]] Result<Day> day(const app::Context& context, const Athlete& athlete) const;
  /// How answers are laid out for that athlete, or for nobody in particular.
  [[nodiscard]] report::Look look(const Athlete* athlete = nullptr) const;

  [[nodiscard]] bool has(const char* option) const { return values.count(option) > 0; }
  [[nodiscard]] bool flag(const char* option) const { return has(option) && values[option].as<bool>(); }
  [[nodiscard]] std::optional<std::string> text(const char* option) const;
  /// errors  usage, with the option's name
  [[nodiscard]] Result<std::optional<Day>> date(const char* option) const;
  [[nodiscard]] Result<std::optional<int>> whole_number(const char* option) const;

  /// errors  usage unless between `least` and `most` words were given
  [[nodiscard]] Result<void> expect_words(std::size_t least, std::size_t most, std::string_view usage) const;

 private:
  std::optional<Models> models_;
  std::unique_ptr<store::Store> store_;
};

/// Success, or the exit status of a run that gave its results and still did not do everything (ingest).
using RunResult = Result<int>;

struct Command {
  std::string_view name;
  std::string_view job;      ///< one line
  std::string_view usage;    ///< what stands behind the name
  std::string_view more;     ///< a few lines for its help; may be empty
  std::string_view example;  ///< one
  void (*add_options)(po::options_description_easy_init add);
  RunResult (*run)(Run& run);
};

/// Every command, in the order of the help.
[[nodiscard]] std::span<const Command> commands();

[[nodiscard]] const Command* find_command(std::string_view name);

}  // namespace steelyard::cli
