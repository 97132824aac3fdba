#pragma once
/// Reads the reference files of tests/reference.

#include <gtest/gtest.h>

#include <charconv>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace steelyard::fit {

inline double to_number(const std::string& text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  EXPECT_TRUE(error == std::errc{} && end == text.data() + text.size()) << "not a number: " << text;
  return value;
}

/// Lines without comments, split at commas.
inline std::vector<std::vector<std::string>> read_csv(const std::string& name) {
  std::ifstream file(std::string(STEELYARD_SOURCE_DIR "/tests/reference/") + name);
  EXPECT_TRUE(file.is_open()) << name;
  std::vector<std::vector<std::string>> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line.front() == '#') continue;
    std::istringstream in(line);
    auto& row = rows.emplace_back();
    for (std::string field; std::getline(in, field, ',');) row.push_back(field);
  }
  return rows;
}

/// Flow of the Nile, 1871 first.
inline std::vector<double> nile() {
  std::vector<double> flow;
  const auto rows = read_csv("nile.csv");
  for (std::size_t i = 1; i < rows.size(); ++i) flow.push_back(to_number(rows[i].at(1)));
  return flow;
}

struct Reaction {
  int subject = 0;
  double day = 0;
  double ms = 0;
};
inline std::vector<Reaction> sleepstudy() {
  std::vector<Reaction> all;
  const auto rows = read_csv("sleepstudy.csv");
  for (std::size_t i = 1; i < rows.size(); ++i) {
    all.push_back({std::stoi(rows[i].at(0)), to_number(rows[i].at(1)), to_number(rows[i].at(2))});
  }
  return all;
}

}  // namespace steelyard::fit
