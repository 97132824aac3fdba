/// Every text that an answer can be made of, taken from the sources and the models: none of them claims what a program
/// must not claim. Common practice in advising without a licence: no diagnosis, no promise, no bravado.
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "params/never_said.hpp"

namespace steelyard {
namespace {

namespace fs = std::filesystem;

std::string read(const fs::path& path) {
  std::ifstream in(path);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

/// The string literals of a C++ source, joined where nothing but space stands between them, in lower case.
std::vector<std::string> literals(const std::string& source) {
  std::vector<std::string> found;
  bool adjacent = false;
  for (std::size_t i = 0; i < source.size(); ++i) {
    if (source.compare(i, 2, "//") == 0) {
      while (i < source.size() && source[i] != '\n') ++i;
    } else if (source[i] == '\'') {  // a character
      i += source[i + 1] == '\\' ? 3U : 2U;
      adjacent = false;
    } else if (source.compare(i, 3, "R\"(") == 0) {
      const std::size_t end = source.find(")\"", i);
      found.push_back(source.substr(i, end - i));
      i = end + 1;
    } else if (source[i] == '"') {
      std::string text;
      for (++i; i < source.size() && source[i] != '"'; ++i) {
        if (source[i] == '\\') ++i;
        text += static_cast<char>(std::tolower(static_cast<unsigned char>(source[i])));
      }
      adjacent && !found.empty() ? found.back() += text : found.emplace_back(std::move(text));
      adjacent = true;
    } else if (std::isspace(static_cast<unsigned char>(source[i])) == 0) {
      adjacent = false;
    }
  }
  return found;
}

/// Sentences of a model file: what stands after say, what and in [texts]; phrases that are only listened for are none.
std::vector<std::string> sentences(const std::string& toml) {
  std::vector<std::string> found;
  std::istringstream lines(toml);
  bool texts = false;
  for (std::string line; std::getline(lines, line);) {
    std::transform(line.begin(), line.end(), line.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (line.starts_with("[")) texts = line.starts_with("[texts]");
    if (texts || line.starts_with("say = ") || line.starts_with("what = ")) found.push_back(line);
  }
  return found;
}

TEST(Templates, ClaimNothingThatAProgramMustNotClaim) {
  const fs::path root(STEELYARD_SOURCE_DIR);
  std::vector<std::string> texts;
  for (const char* room : {"decide", "learn", "report", "app", "cli"}) {
    for (const auto& file : fs::directory_iterator(root / "src" / room)) {
      if (file.path().extension() != ".cpp") continue;
      for (auto& text : literals(read(file))) texts.push_back(std::move(text));
    }
  }
  const std::size_t of_sources = texts.size();
  ASSERT_GT(of_sources, 2000U);
  for (const auto& file : fs::directory_iterator(root / "models")) {
    for (auto& text : sentences(read(file))) texts.push_back(std::move(text));
  }
  ASSERT_GT(texts.size(), of_sources + 50);
  for (const std::string& text : texts) {
    for (const auto never : testing::k_never_said)
      EXPECT_EQ(text.find(never), std::string::npos) << never << ": " << text;
  }
}

TEST(Templates, AreReadAsTheCompilerReadsThem) {
  EXPECT_EQ(literals("f(\"No\" // \"x\"\n \" Pain\", 'a', '\"', \"b\\\"c\")"),
            (std::vector<std::string>{"no pain", "b\"c"}));
}

}  // namespace
}  // namespace steelyard
