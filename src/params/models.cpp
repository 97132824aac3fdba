#include "steelyard/params/models.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "params/bind.hpp"
#include "steelyard/base/text.hpp"
#include "steelyard/domain/vocabulary.hpp"

namespace steelyard {
namespace {

using params::Node;
using params::Section;
using params::Sheet;
using params::Tree;
using params::TreeView;

/// What the files say of themselves, for the version.
struct Stamp {
  Day newest{};
  std::string changed;  ///< " + name" of each override
};

void bind_head(Section& top, Node over, const ModelFile* override_file, Stamp& stamp) {
  int format = 1;
  std::string name;
  Day date{};
  top.integer("format", format, 1, 1);
  top.text("name", name);
  top.date("date", date);
  stamp.newest = std::max(stamp.newest, date);
  if (!over) return;
  const std::string changed = " + " + (over.find("name") ? name : override_file->file);
  if (stamp.changed.find(changed) == std::string::npos) stamp.changed += changed;
}

/// One file and what overrides it.
struct Pair {
  const ModelFile* shipped = nullptr;
  const ModelFile* over = nullptr;
};

/// The tree of a file: known, or parsed into `parsed`.
Result<TreeView> tree_of(const ModelFile& file, Tree& parsed) {
  if (file.known != nullptr)
    return TreeView{.nodes = file.known->nodes, .texts = file.known->texts, .shown = file.shown};
  STEELYARD_TRY_ASSIGN(parsed, params::parse_tree(file.text, file.shown));
  return parsed.view();
}

template <class Model>
Result<std::string> read(const Pair& pair, bool is_recorded, Model& out, Stamp& stamp) {
  std::array<Tree, 2> parsed;
  STEELYARD_TRY_ASSIGN(const TreeView shipped, tree_of(*pair.shipped, parsed[0]));
  TreeView over;
  if (pair.over != nullptr) {
    STEELYARD_TRY_ASSIGN(over, tree_of(*pair.over, parsed[1]));
  }
  const Node laid_over = pair.over == nullptr ? Node() : Node(over);
  Sheet sheet{.file = pair.shipped->file, .error = {}, .is_recorded = is_recorded, .values = {}};
  Section top(sheet, "", Node(shipped), laid_over);
  bind_head(top, laid_over, pair.over, stamp);
  params::bind(top, out);
  top.done();
  if (sheet.error) return tl::make_unexpected(*std::move(sheet.error));
  return std::move(sheet.values);
}

Result<Pair> pick(std::string_view name, const std::vector<ModelFile>& shipped,
                  const std::vector<ModelFile>& overrides) {
  const auto named = [&](const ModelFile& f) { return f.file == name; };
  const auto base = std::find_if(shipped.begin(), shipped.end(), named);
  if (base == shipped.end()) {
    return fail(Errc::no_input,
                fmt::format("the model file {} is missing; allowed: a folder that holds all seven", name));
  }
  const auto over = std::find_if(overrides.begin(), overrides.end(), named);
  return Pair{.shipped = &*base, .over = over == overrides.end() ? nullptr : &*over};
}

Result<void> check_names(const std::vector<ModelFile>& overrides) {
  for (const auto& f : overrides) {
    if (std::find(k_model_files.begin(), k_model_files.end(), f.file) != k_model_files.end()) continue;
    return fail(Errc::bad_data,
                fmt::format("'{}' is not a model file; allowed: {}", f.file, fmt::join(k_model_files, ", ")), f.shown);
  }
  return {};
}

}  // namespace

Result<Models> load_models(const std::vector<ModelFile>& shipped, const std::vector<ModelFile>& overrides,
                           std::string_view known_digest) {
  STEELYARD_TRY(check_names(overrides));
  Models models;
  Stamp stamp;
  std::string values;
  const bool is_recorded = known_digest.empty();
  const auto add = [&](std::string_view name, auto& model) -> Result<void> {
    STEELYARD_TRY_ASSIGN(const Pair pair, pick(name, shipped, overrides));
    STEELYARD_TRY_ASSIGN(const std::string read_values, read(pair, is_recorded, model, stamp));
    values += read_values;
    return {};
  };
  STEELYARD_TRY(add(k_model_files[0], models.load));
  STEELYARD_TRY(add(k_model_files[1], models.strength));
  STEELYARD_TRY(add(k_model_files[2], models.day_kinds));
  STEELYARD_TRY(add(k_model_files[3], models.limits));
  STEELYARD_TRY(add(k_model_files[4], models.lifts));
  STEELYARD_TRY(add(k_model_files[5], models.cautions));
  STEELYARD_TRY(add(k_model_files[6], models.response));
  models.response.strength.single_sd = models.strength.error.s0;
  models.version = format_day(stamp.newest) + stamp.changed;
  models.digest = is_recorded ? digest(values) : std::string(known_digest);
  return models;
}

const LiftModel* LiftsModel::find(std::string_view lift) const {
  auto found = std::find_if(lifts.begin(), lifts.end(), [&](const LiftModel& l) { return l.lift == lift; });
  if (found == lifts.end()) {
    found = std::find_if(lifts.begin(), lifts.end(), [&](const LiftModel& l) {
      return std::find(l.aliases.begin(), l.aliases.end(), lift) != l.aliases.end();
    });
  }
  return found == lifts.end() ? nullptr : &*found;
}

double LiftsModel::overlap(std::string_view a, std::string_view b) const {
  const LiftModel* first = find(a);
  const LiftModel* second = find(b);
  if (first == nullptr || second == nullptr) return 0;
  const auto has = [](const std::vector<std::string>& regions, std::string_view region) {
    return std::find(regions.begin(), regions.end(), region) != regions.end();
  };
  const auto share = [&](const LiftModel& lift, std::string_view region) {
    return has(lift.movers, region) ? weight.mover : has(lift.support, region) ? weight.support : 0.0;
  };
  double aa = 0;
  double bb = 0;
  double ab = 0;
  for (const auto region : sore_regions()) {
    const double x = share(*first, region);
    const double y = share(*second, region);
    aa += x * x;
    bb += y * y;
    ab += x * y;
  }
  return aa > 0 && bb > 0 ? ab / std::sqrt(aa * bb) : 0;
}

}  // namespace steelyard
