// Help and options. Sources: the contract's table of commands and its exit statuses (sysexits.h: 64 usage).
#include <algorithm>
#include <array>
#include <regex>
#include <sstream>

#include "cli/program.hpp"

namespace steelyard::cli {
namespace {

class Help : public Program {};

/// The contract's commands; some of them come later.
constexpr std::array k_contract{"ingest",  "check",    "log",   "today", "compare", "ahead",     "week",
                                "loads",   "strength", "marks", "learn", "why",     "questions", "decide",
                                "athlete", "max",      "plan",  "off",   "undo",    "report",    "export",
                                "erase",   "serve",    "move",  "token", "backup",  "verify"};
/// What a lifter and a coach cannot do without.
constexpr std::array k_needed{"ingest", "check",   "log", "today", "compare", "week", "loads",  "why",  "questions",
                              "decide", "athlete", "max", "plan",  "off",     "undo", "export", "erase"};

std::vector<std::string> commands_in(const std::string& help) {
  const std::string_view head = "Commands:\n";
  const auto from = help.find(head) + head.size();
  std::istringstream lines(help.substr(from, help.find("\nOptions of every command:") - from));
  std::vector<std::string> names;
  for (std::string line; std::getline(lines, line);) names.push_back(line.substr(2, line.find(' ', 2) - 2));
  return names;
}

std::size_t count(const std::string& text, std::string_view what) {
  std::size_t n = 0;
  for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
  return n;
}

/// Option and whether it takes a value, from the lines "  --name VALUE   meaning".
std::vector<std::pair<std::string, bool>> options_in(const std::string& help) {
  std::vector<std::pair<std::string, bool>> options;
  const std::regex line(R"(^  --([a-z-]+)( \S+( \S+)*)?  )");
  std::istringstream in(help);
  for (std::string text; std::getline(in, text);) {
    std::smatch match;
    if (std::regex_search(text, match, line)) options.emplace_back(match[1], match[2].matched);
  }
  return options;
}

/// A value that the option can take.
std::string value_for(const std::string& option) {
  if (option == "date") return "2026-11-23";
  if (option == "units") return "kg";
  if (option == "config") return "empty.ini";
  return "1";
}

TEST_F(Help, NamesTheCommandsOfTheContractAndNoOther) {
  const std::string help = ok("--help");
  const auto names = commands_in(help);
  for (const std::string& name : names) {
    EXPECT_NE(std::find(k_contract.begin(), k_contract.end(), name), k_contract.end()) << name;
  }
  for (const std::string name : k_needed) {
    EXPECT_NE(std::find(names.begin(), names.end(), name), names.end()) << name;
  }
  EXPECT_EQ(count(help, "Example:\n"), 1U);
}

TEST_F(Help, OfEveryCommandHasOneExampleAndOnlyOptionsThatExist) {
  write("empty.ini", "");
  for (const std::string& command : commands_in(ok("--help"))) {
    const std::string help = ok(command + " --help");
    EXPECT_EQ(count(help, "Example:\n"), 1U) << command;
    EXPECT_NE(help.find("\n  steelyard " + command), std::string::npos) << command;
    for (const auto& [option, takes_value] : options_in(help)) {
      const std::string call = command + " --" + option + (takes_value ? " " + value_for(option) : "") + " --help";
      EXPECT_EQ(run(call).status, 0) << call;
    }
  }
  for (const auto& [option, takes_value] : options_in(ok("--help"))) {
    if (option == "help") continue;  // may be given once
    const std::string call = "today --" + option + (takes_value ? " " + value_for(option) : "") + " --help";
    EXPECT_EQ(run(call).status, 0) << call;
  }
}

TEST_F(Help, OptionsOfACommandAreFoundByTheTestAbove) {
  EXPECT_EQ(options_in(ok("ingest --help")).size(), 2U);
  EXPECT_GE(options_in(ok("check --help")).size(), 15U);
}

TEST_F(Help, ExamplesOfCommandsAreUnderstood) {
  ok("ingest '" STEELYARD_SOURCE_DIR "/sample-logs'", "STEELYARD_DATA=s.db");
  for (const std::string command : {"today", "compare", "ahead", "week", "loads", "decide", "why"}) {
    const std::string help = ok(command + " --help");
    const auto at = help.find("Example:\n  steelyard ") + 21;
    const std::string example = help.substr(at, help.find('\n', at) - at);
    const Outcome outcome = run(example, "STEELYARD_DATA=s.db");
    const bool needs_a_call = command == "why";  // of another athlete than the example of today
    EXPECT_TRUE(outcome.status == 0 || needs_a_call) << example << "\n" << outcome.err;
  }
}

TEST_F(Help, UnknownWordsNameTheNearest) {
  expect_failure("todey", 64,
                 "steelyard: 'todey' is not a command; did you mean 'today'? 'steelyard --help' lists them\n");
  expect_failure("xylophone", 64, "steelyard: 'xylophone' is not a command; 'steelyard --help' lists them\n");
  expect_failure("ingest --dry-rum x", 64, "steelyard: the option 'dry-rum' is not known; did you mean 'dry-run'?\n");
  expect_failure("today --athlet a1", 64, "steelyard: the option 'athlet' is not known; did you mean 'athlete'?\n");
  expect_failure("today --date", 64, "steelyard: --date: needs a value\n");
  expect_failure("today --json=1", 64, "steelyard: --json: takes no value\n");
  expect_failure("today now", 64, "steelyard: 'now' is one word too many; usage: steelyard today\n");
}

TEST_F(Help, WithoutACommandItIsAUsageError) {
  const Outcome outcome = run("");
  EXPECT_EQ(outcome.status, 64);
  EXPECT_EQ(outcome.out, "");
  EXPECT_NE(outcome.err.find("Commands:"), std::string::npos);
}

TEST_F(Help, VersionNamesProgramCommitModelsAndTables) {
  const std::regex lines("steelyard " STEELYARD_TEST_VERSION
                         "\ncommit (unknown|[0-9a-f]{7,40}(-changed)?)\nmodels [0-9.-]+, digest [0-9a-f]{16}\n"
                         "tables of the store [0-9]+\n");
  const std::string version = ok("--version");
  EXPECT_TRUE(std::regex_match(version, lines)) << version;
  // The digest is that of the models in force: with a value changed it is another one.
  std::filesystem::create_directories(folder / "own");
  std::filesystem::copy(STEELYARD_SOURCE_DIR "/models/load.toml", folder / "own/load.toml");
  std::string text = read("own/load.toml");
  const auto at = text.find("\"sample\"");
  ASSERT_NE(at, std::string::npos);
  write("own/load.toml", text.replace(at, 8, "\"population\""));
  EXPECT_NE(ok("--version --models own"), version);
  EXPECT_EQ(run("--version --models none").status, 0);
}

}  // namespace
}  // namespace steelyard::cli
