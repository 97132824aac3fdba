// Writes the model files as C++ constants, so that the program need not parse them whenever it starts.
//   write_models FOLDER FILE      FOLDER: of the model files; FILE: the source to be written
#include <fmt/core.h>

#include <cstdio>
#include <fstream>
#include <sstream>

#include "steelyard/params/model_tree.hpp"
#include "steelyard/params/models.hpp"

namespace steelyard::app {
namespace {

Result<std::string> text_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in) return fail(Errc::no_input, "cannot be read", path);
  return text.str();
}

/// A literal, cut where lines end.
std::string literal(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '\n') {
      out += "\\n\"\n    \"";
    } else if (c == '"' || c == '\\') {
      out += {'\\', c};
    } else if (c < ' ' || c > '~') {
      out += fmt::format("\\{:03o}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    } else {
      out += c;
    }
  }
  return out + '"';
}

std::string place(params::NodePlace at) {
  return fmt::format("{{{}, {}}}", at.line, at.column);
}

std::string nodes_of(const params::Tree& tree) {
  std::string out;
  for (const params::NodeData& n : tree.nodes) {
    out += fmt::format("    {{static_cast<NodeType>({}), {}, {}, {}, {}, {}, {}, static_cast<std::int64_t>({}u)}},\n",
                       static_cast<int>(n.type), n.key_begin, n.key_size, n.begin, n.size, place(n.key_at), place(n.at),
                       static_cast<std::uint64_t>(n.value));
  }
  return out;
}

Result<std::string> source_of(const std::string& folder) {
  std::string out =
      "#include \"app/built_in_models.hpp\"\n\nnamespace steelyard::app {\nnamespace {\n\nusing params::NodeData;\n"
      "using params::NodeType;\nusing namespace std::string_view_literals;\n";
  std::string list;
  std::vector<ModelFile> files;
  for (std::size_t i = 0; i < k_model_files.size(); ++i) {
    const std::string name(k_model_files[i]);
    STEELYARD_TRY_ASSIGN(const std::string text, text_of(fmt::format("{}/{}", folder, name)));
    STEELYARD_TRY_ASSIGN(const params::Tree tree, params::parse_tree(text, name));
    out += fmt::format("\nconstexpr std::string_view k_file_{} =\n    {}sv;\n", i, literal(text));
    out += fmt::format("constexpr std::string_view k_texts_{} =\n    {}sv;\n", i, literal(tree.texts));
    out += fmt::format("constexpr NodeData k_nodes_{}[] = {{\n{}}};\n", i, nodes_of(tree));
    list += fmt::format("    {{\"{0}\", k_file_{1}, {{k_nodes_{1}, k_texts_{1}, {{}}}}}},\n", name, i);
    files.push_back({.file = name, .shown = name, .text = text});
  }
  STEELYARD_TRY_ASSIGN(const Models models, load_models(files, {}));
  out += fmt::format("\nconstexpr BuiltInModel k_models[] = {{\n{}}};\n\n}}  // namespace\n", list);
  out += fmt::format(
      "\nstd::span<const BuiltInModel> built_in_models() {{\n  return k_models;\n}}\n"
      "std::string_view built_in_digest() {{\n  return \"{}\";\n}}\n\n}}  // namespace steelyard::app\n",
      models.digest);
  return out;
}

int write(const std::string& folder, const std::string& path) {
  const auto source = source_of(folder);
  if (!source) {
    std::fprintf(stderr, "write_models: %s\n", source.error().text().c_str());
    return 1;
  }
  std::ofstream out(path, std::ios::binary);
  out << *source;
  return out.flush() ? 0 : 1;
}

}  // namespace
}  // namespace steelyard::app

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  return steelyard::app::write(argv[1], argv[2]);
}
