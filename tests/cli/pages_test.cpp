// The manual page and the completions against what the program itself says with --help. Common practice: man(7) macros,
// COMP_WORDS and COMPREPLY of bash.
#include <algorithm>
#include <regex>
#include <set>
#include <sstream>

#include "cli/program.hpp"
#include "steelyard/base/result.hpp"

namespace steelyard::cli {
namespace {

std::string page(const std::string& name) {
  std::ifstream in(std::string(STEELYARD_PAGES) + "/" + name, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

/// The page's text without macros and escapes, its lines joined by single blanks.
std::string plain(const std::string& roff) {
  std::istringstream in(roff);
  std::string text;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with('.') && !line.starts_with(".B ") && !line.starts_with(".SS ")) continue;
    if (line.starts_with('.')) line.erase(0, line.find(' ') + 1);
    for (std::size_t at; (at = line.find("\\-")) != std::string::npos;) line.replace(at, 2, "-");
    for (std::size_t at; (at = line.find("\\&")) != std::string::npos;) line.erase(at, 2);
    for (std::size_t at; (at = line.find("\\e")) != std::string::npos;) line.replace(at, 2, "\\");
    text += line + ' ';
  }
  return std::regex_replace(text, std::regex(" +"), " ");
}

class Pages : public Program {
 protected:
  std::vector<std::string> commands() const {
    std::vector<std::string> names;
    std::istringstream in(ok("--help"));
    for (std::string line; std::getline(in, line) && line != "Options of every command:";) {
      std::smatch match;
      if (std::regex_search(line, match, std::regex("^  ([a-z]+)  +[a-z]"))) names.push_back(match[1]);
    }
    return names;
  }

  /// What bash offers for the last of the words.
  std::set<std::string> offers(const std::string& words) const {
    const Outcome outcome = shell("source '" STEELYARD_PAGES "/steelyard.bash'; COMP_WORDS=(steelyard " + words +
                                  "); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _steelyard; printf '%s\\n' "
                                  "\"${COMPREPLY[@]}\"");
    EXPECT_EQ(outcome.err, "") << words;
    std::set<std::string> all;
    std::istringstream in(outcome.out);
    for (std::string line; std::getline(in, line);) {
      if (!line.empty()) all.insert(line);
    }
    return all;
  }
};

// The statuses are those of sysexits.h that base/result.hpp gives its errors.
TEST_F(Pages, ManualsAndReadmeNameEveryExitStatusAlike) {
  for (const Errc code : {Errc::failed, Errc::usage, Errc::bad_data, Errc::no_input, Errc::unavailable, Errc::io,
                          Errc::busy, Errc::not_allowed}) {
    EXPECT_NE(k_exit_statuses.find(std::to_string(exit_status(code)) + ' '), std::string_view::npos);
  }
  const std::string source = STEELYARD_SOURCE_DIR;
  const auto bytes = [](const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return std::string{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  };
  for (const std::string& text :
       {page("steelyard.1"), bytes(source + "/src/serve/service/steelyard-serve.1"), bytes(source + "/README.md")}) {
    EXPECT_NE(plain(text).find(std::string(k_exit_statuses) + '.'), std::string::npos) << text.substr(0, 80);
  }
}

TEST_F(Pages, ManualSaysEverythingThatHelpSays) {
  const std::string manual = plain(page("steelyard.1"));
  const auto names = commands();
  ASSERT_GE(names.size(), 26U);
  std::vector<std::string> helps{ok("--help")};
  for (const std::string& name : names) helps.push_back(ok(name + " --help"));
  for (const std::string& help : helps) {
    std::istringstream in(help);
    for (std::string line; std::getline(in, line);) {
      if (line.empty() || line.ends_with(':') || line.starts_with("Options of every command") ||
          line.starts_with("(see ") || line.starts_with("'steelyard COMMAND") || line.find("[options]") < line.size())
        continue;
      line = std::regex_replace(line, std::regex(" +"), " ");
      if (line.starts_with(' ')) line.erase(0, 1);
      if (line.ends_with('.')) line.pop_back();
      std::smatch command;
      if (std::regex_match(line, command, std::regex("(?:steelyard )?[a-z]+:? (.*)")) &&
          manual.find(line) == std::string::npos) {
        line = command[1];  // "name job" stands as a heading and a sentence
      }
      EXPECT_NE(manual.find(line), std::string::npos) << line;
    }
  }
}

TEST_F(Pages, ManualNamesNoOptionThatHelpDoesNotKnow) {
  std::string helps = ok("--help");
  for (const std::string& name : commands()) helps += ok(name + " --help");
  std::istringstream in(page("steelyard.1"));
  int options = 0;
  for (std::string line; std::getline(in, line);) {
    if (!line.starts_with(".B \\-\\-")) continue;
    ++options;
    const std::string option = std::regex_replace(line.substr(3), std::regex(R"(\\-)"), "-");
    EXPECT_NE(helps.find("  " + option + "  "), std::string::npos) << option;
  }
  EXPECT_GE(options, 60);
}

TEST_F(Pages, BashOffersCommandsOptionsWordsAndFiles) {
  const auto names = commands();
  EXPECT_EQ(offers("''"), std::set<std::string>(names.begin(), names.end()));
  EXPECT_EQ(offers("to"), (std::set<std::string>{"today", "token"}));
  EXPECT_EQ(offers("--data x.db --athlete a1 co"), (std::set<std::string>{"compare"}));
  EXPECT_EQ(offers("ingest --dr"), (std::set<std::string>{"--dry-run"}));
  EXPECT_EQ(offers("today --un"), (std::set<std::string>{"--units"}));
  EXPECT_EQ(offers("today --units ''"), (std::set<std::string>{"kg", "lb"}));
  EXPECT_EQ(offers("token ''"), (std::set<std::string>{"add", "list", "revoke"}));
  EXPECT_EQ(offers("token --role ''"), (std::set<std::string>{"coach", "lifter"}));
  EXPECT_EQ(offers("token add ''"), std::set<std::string>{});
  write("sets.csv", "");
  EXPECT_EQ(offers("ingest se"), (std::set<std::string>{"sets.csv"}));
  EXPECT_EQ(offers("today --data se"), (std::set<std::string>{"sets.csv"}));
  EXPECT_EQ(offers("today --athlete ''"), std::set<std::string>{});
}

TEST_F(Pages, BashOffersEveryOptionOfEveryCommand) {
  const std::regex option(R"(^  (--[a-z-]+)( |$))");
  for (const std::string& name : commands()) {
    std::set<std::string> known;
    for (const std::string& help : {ok(name + " --help"), ok("--help")}) {
      std::istringstream in(help);
      std::smatch match;
      for (std::string line; std::getline(in, line);) {
        if (std::regex_search(line, match, option)) known.insert(match[1]);
      }
    }
    EXPECT_EQ(offers(name + " --"), known) << name;
  }
}

TEST_F(Pages, OtherShellsKnowEveryCommand) {
  for (const std::string& name : commands()) {
    EXPECT_NE(page("_steelyard").find("\n        " + name + ") _arguments"), std::string::npos) << name;
    EXPECT_NE(page("steelyard.fish").find(" -a " + name + " -d "), std::string::npos) << name;
  }
}

}  // namespace
}  // namespace steelyard::cli
