#pragma once
/// What the fuzz targets share. A target is one function over bytes; libFuzzer drives it, and in the ordinary test run
/// replay.cpp does, over the seeds and over what was found once.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

#include "steelyard/params/models.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace steelyard::fuzz {

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

/// Ends the program, so that the input is kept, unless the claim holds.
inline void expect(bool holds, const char* claim) {
  if (holds) return;
  std::fprintf(stderr, "fuzz: not true: %s\n", claim);
  std::abort();
}

/// The shipped model files, in the order of k_model_files.
inline const std::vector<ModelFile>& shipped_files() {
  static const std::vector<ModelFile> files = [] {
    std::vector<ModelFile> all;
    for (const auto name : k_model_files) {
      std::ifstream in(STEELYARD_SOURCE_DIR "/models/" + std::string(name), std::ios::binary);
      all.push_back({std::string(name), std::string(name), {std::istreambuf_iterator<char>(in), {}}});
    }
    return all;
  }();
  return files;
}

inline const Models& shipped_models() {
  static const Models models = load_models(shipped_files(), {}).value();
  return models;
}

}  // namespace steelyard::fuzz
