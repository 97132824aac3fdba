// Model files: any text in the place of one of them gives models or an error, and equal text equal models. The first
// byte says which file.
#include "fuzz/fuzz.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace steelyard;
  using namespace steelyard::fuzz;
  if (size == 0) return 0;
  const std::string name(k_model_files.at(data[0] % k_model_files.size()));
  const std::vector<ModelFile> own{{name, "own/" + name, std::string(text_of(data + 1, size - 1))}};
  const auto models = load_models(shipped_files(), own);
  if (models) {
    const auto again = load_models(shipped_files(), own);
    expect(again && again->digest == models->digest, "equal files, equal digest");
  } else {
    expect(!models.error().what.empty(), "a refusal says why");
  }
  return 0;
}
