// The model files in the program against the files themselves, which the parser of the tests' own libraries reads.
#include <gtest/gtest.h>

#include "app/built_in_models.hpp"
#include "params/shipped_models.hpp"

namespace steelyard::app {
namespace {

TEST(BuiltInModels, AreTheShippedFilesAsParsed) {
  ASSERT_EQ(built_in_models().size(), k_model_files.size());
  for (std::size_t i = 0; i < k_model_files.size(); ++i) {
    const BuiltInModel& model = built_in_models()[i];
    SCOPED_TRACE(model.file);
    EXPECT_EQ(model.file, k_model_files[i]);
    const std::string text = testing::shipped_file(model.file).text;
    EXPECT_EQ(model.text, text);
    const auto tree = params::parse_tree(text, model.file);
    ASSERT_TRUE(tree);
    ASSERT_GT(tree->nodes.size(), 10U);
    EXPECT_EQ(model.tree.texts, tree->texts);
    EXPECT_TRUE(std::equal(model.tree.nodes.begin(), model.tree.nodes.end(), tree->nodes.begin(), tree->nodes.end()));
  }
}

TEST(BuiltInModels, GiveTheValuesOfTheFiles) {
  std::vector<ModelFile> known = testing::shipped_files();
  for (std::size_t i = 0; i < known.size(); ++i) {
    known[i].text = "this is not read";
    known[i].known = &built_in_models()[i].tree;
  }
  const auto models = load_models(known, {});
  ASSERT_TRUE(models) << models.error().text();
  EXPECT_EQ(models->digest, testing::shipped_models().digest);
  EXPECT_EQ(models->version, testing::shipped_models().version);
  EXPECT_EQ(built_in_digest(), testing::shipped_models().digest);
  const std::vector<ModelFile> own{
      {.file = "load.toml", .shown = "own/load.toml", .text = "[monotony]\nsd = \"population\"\nsource = \"test\"\n"}};
  const auto changed = load_models(known, own);
  ASSERT_TRUE(changed) << changed.error().text();
  EXPECT_EQ(changed->digest, load_models(testing::shipped_files(), own)->digest);
  EXPECT_NE(changed->digest, built_in_digest());
}

}  // namespace
}  // namespace steelyard::app
