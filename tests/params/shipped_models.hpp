#pragma once
/// The shipped models, read from the source tree, for the tests of every room.

#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/params/models.hpp"

namespace steelyard::testing {

[[nodiscard]] inline ModelFile shipped_file(std::string_view name) {
  const std::string path = std::string(STEELYARD_SOURCE_DIR "/models/") + std::string(name);
  std::ifstream in(path, std::ios::binary);
  return {.file = std::string(name),
          .shown = std::string(name),
          .text = std::string(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>())};
}

[[nodiscard]] inline std::vector<ModelFile> shipped_files() {
  std::vector<ModelFile> files;
  for (const auto name : k_model_files) files.push_back(shipped_file(name));
  return files;
}

/// Ends the test program with the error if the shipped files do not load.
[[nodiscard]] inline const Models& shipped_models() {
  static const Models models = [] {
    auto loaded = load_models(shipped_files(), {});
    if (!loaded) {
      ADD_FAILURE() << loaded.error().text();
      std::abort();
    }
    return *std::move(loaded);
  }();
  return models;
}

}  // namespace steelyard::testing
