#include "steelyard/app/models.hpp"

#include <fmt/core.h>

#include <filesystem>

#include "app/built_in_models.hpp"
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

/// Beside the folder of the program, of which one is among the libraries, when it is installed; else the source tree.
std::string shipped_folder() {
  std::error_code ignored;
  const auto program = std::filesystem::read_symlink("/proc/self/exe", ignored);
  for (const char* share : {STEELYARD_SHARE_FROM_BIN, STEELYARD_SHARE_FROM_LIB}) {
    const std::string installed = (program.parent_path() / share / "models").lexically_normal().string();
    if (is_folder(installed)) return installed;
  }
  return STEELYARD_SOURCE_MODELS;
}

/// Files that are still those which the program was built with need no parsing. True if all are.
bool recognise(std::vector<ModelFile>& files) {
  std::size_t known = 0;
  for (ModelFile& file : files) {
    for (const BuiltInModel& model : built_in_models()) {
      if (file.file == model.file && file.text == model.text) file.known = &model.tree;
    }
    known += file.known == nullptr ? 0 : 1;
  }
  return known == k_model_files.size();
}

}  // namespace

Result<Models> find_models(const std::optional<std::string>& folder) {
  STEELYARD_TRY_ASSIGN(auto shipped, files_of(shipped_folder()));
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
  const bool is_built_in = recognise(shipped) && own.empty();
  return load_models(shipped, own, is_built_in ? built_in_digest() : std::string_view());
}

}  // namespace steelyard::app
