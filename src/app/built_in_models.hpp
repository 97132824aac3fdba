#pragma once
/// The model files as they were when the program was built: write_models parsed and checked them then.

#include <span>
#include <string_view>

#include "steelyard/params/model_tree.hpp"

namespace steelyard::app {

struct BuiltInModel {
  std::string_view file;  ///< "load.toml"
  std::string_view text;
  params::TreeView tree;
};

/// In the order of k_model_files.
[[nodiscard]] std::span<const BuiltInModel> built_in_models();
/// Of their values: what load_models makes of them.
[[nodiscard]] std::string_view built_in_digest();

}  // namespace steelyard::app
