#pragma once
/// The model files in force: the shipped ones, and over them those of a folder that the user names.

#include <optional>
#include <string>

#include "steelyard/base/result.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::app {

/// `folder` may hold only the files that differ from the shipped ones. The shipped ones lie in the share folder beside
/// the program's own folder, else in the source tree from which it was built.
/// errors  no_input (no such folder, or none of the model files in it), bad_data (see load_models), io
[[nodiscard]] Result<Models> find_models(const std::optional<std::string>& folder);

}  // namespace steelyard::app
