// The page is whole: what one of its files asks for is another of its files, and nothing comes from elsewhere.
#include "steelyard/page/assets.hpp"

#include <gtest/gtest.h>

#include <array>
#include <regex>
#include <set>
#include <string>

#include "steelyard/domain/vocabulary.hpp"

namespace steelyard::page {
namespace {

constexpr std::array k_scripts{"api",     "app",    "at_bar", "body",  "charts", "check", "coach", "dom",
                               "figures", "locale", "log",    "login", "me",     "queue", "today", "words"};

std::string text(const std::string& path) {
  const Asset* asset = find_asset(path);
  return asset == nullptr ? std::string{} : std::string(asset->bytes);
}

std::set<std::string> found(const std::string& text, const char* pattern) {
  std::set<std::string> all;
  const std::regex expression(pattern);
  for (std::sregex_iterator at(text.begin(), text.end(), expression), end; at != end; ++at) all.insert((*at)[1]);
  return all;
}

TEST(FindAsset, GivesTheBytesOfTheFiles) {
  EXPECT_TRUE(text("/").starts_with("<!DOCTYPE html>\n"));
  EXPECT_TRUE(text("/").ends_with("</html>\n"));
  EXPECT_EQ(find_asset(""), find_asset("/"));
  EXPECT_EQ(find_asset("/app.js")->content_type, "text/javascript; charset=utf-8");
  EXPECT_EQ(find_asset("/nothing.js"), nullptr);
  EXPECT_NE(find_asset("/app.js")->etag, find_asset("/api.js")->etag);
}

TEST(FindAsset, HoldsWhateverThePageAsksFor) {
  for (const std::string& path : found(text("/"), "(?:src|href)=\"(/[^\"]*)\"")) {
    if (path.starts_with("/v1/")) continue;  // an answer of the service
    EXPECT_NE(find_asset(path), nullptr) << path;
  }
  for (const char* name : k_scripts) {
    const std::string script = text(std::string("/") + name + ".js");
    ASSERT_FALSE(script.empty()) << name;
    for (const std::string& path : found(script, "(?:from|import\\()\\s*'\\.(/[a-z_]+\\.js)'"))
      EXPECT_NE(find_asset(path), nullptr) << name << " wants " << path;
  }
}

TEST(ServiceWorker, KeepsEveryScript) {
  const std::set<std::string> kept = found(text("/sw.js"), "'([a-z_]+)'");
  for (const char* name : k_scripts) EXPECT_TRUE(kept.contains(name)) << name;
}

TEST(Words, NameEverySymptomRegionAndKindOfPain) {
  const std::string words = text("/words.js");
  const std::set<std::string> symptoms = found(words, "\\['([a-z-]+)', '[A-Z][^']*'\\]");
  EXPECT_EQ(symptoms.size(), symptom_codes().size());
  for (const auto code : symptom_codes()) EXPECT_TRUE(symptoms.contains(std::string(code))) << code;
  const std::set<std::string> named = found(words, "'([a-z-]+)'");
  const std::string outline = text("/body.js");
  for (const auto region : sore_regions()) {
    EXPECT_TRUE(named.contains(std::string(region))) << region;
    EXPECT_NE(outline.find("'" + std::string(region) + "'"), std::string::npos) << region << " is not on the outline";
  }
  for (const auto kind : words_of<PainKind>()) EXPECT_TRUE(named.contains(std::string(kind))) << kind;
}

TEST(Page, NamesNoOtherHost) {
  for (const char* path : {"/", "/sheet.css", "/page.css", "/sw.js", "/manifest.webmanifest"})
    EXPECT_EQ(text(path).find("://"), std::string::npos) << path;
  for (const char* name : k_scripts) {
    for (const std::string& address : found(text(std::string("/") + name + ".js"), "(https?://[^'\"` ]*)"))
      EXPECT_EQ(address, "http://www.w3.org/2000/svg") << name;  // a name of a language, nothing is fetched
  }
}

}  // namespace
}  // namespace steelyard::page
