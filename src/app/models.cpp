#include "steelyard/app/models.hpp"

#include <fmt/core.h>

#include <filesystem>

#include "app/files.hpp"

namespace steelyard::app {
namespace {

/// Model files that the folder holds.
Result<std::vector<ModelFile>> files_of(const std::string& folder) {
  std::vector<ModelFile> files;
  for (const auto name : k_model_files) {
    const std::string path = fmt::format("{}/{}", folder, name);
    auto text = read_whole_file(path);
    if (!text && text.error().code == Errc::no_input) continue;
    STEELYARD_TRY(text);
    files.push_back({.file = std::string(name), .shown = path, .text = *std::move(text)});
  }
  return files;
}

/// Beside the program's own folder when it is installed, else the source tree.
std::string shipped_folder() {
  std::error_code ignored;
  const auto program = std::filesystem::read_symlink("/proc/self/exe", ignored);
  const std::string installed =
      (program.parent_path() / STEELYARD_SHARE_FROM_BIN / "models").lexically_normal().string();
  return is_folder(installed) ? installed : std::string(STEELYARD_SOURCE_MODELS);
}

}  // namespace

Result<Models> find_models(const std::optional<std::string>& folder) {
  STEELYARD_TRY_ASSIGN(const auto shipped, files_of(shipped_folder()));
  std::vector<ModelFile> own;
  if (folder) {
    if (!is_folder(*folder)) return fail(Errc::no_input, "there is no such folder of models", *folder);
    STEELYARD_TRY_ASSIGN(own, files_of(*folder));
    if (own.empty()) {
      return fail(Errc::no_input,
                  "this folder holds no model file (load.toml, strength.toml, day-kinds.toml, limits.toml, "
                  "lifts.toml, cautions.toml, response.toml)",
                  *folder);
    }
  }
  return load_models(shipped, own);
}

}  // namespace steelyard::app
