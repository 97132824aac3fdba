#pragma once
/// Runs the built program in a folder of its own, with an environment of its own, and gives back what came of it.

#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>

namespace steelyard::cli {

struct Outcome {
  int status = -1;
  std::string out;
  std::string err;
};

class Program : public ::testing::Test {
 protected:
  Program() {
    const auto* info = ::testing::UnitTest::GetInstance()->current_test_info();
    folder = std::filesystem::temp_directory_path() /
             (std::string("steelyard-cli-") + info->test_suite_name() + "-" + info->name());
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
  }
  ~Program() override { std::filesystem::remove_all(folder); }

  void write(const std::string& name, std::string_view text) const {
    std::ofstream(folder / name, std::ios::binary) << text;
  }
  [[nodiscard]] std::string read(const std::string& name) const {
    std::ifstream in(folder / name, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  }

  /// `arguments` as a shell reads them; `environment` such as "STEELYARD_ATHLETE=a1".
  [[nodiscard]] Outcome run(const std::string& arguments, const std::string& environment = "") const {
    return shell("\"$PROGRAM\" " + arguments, environment);
  }
  /// Any shell command, with the program's path in $PROGRAM.
  [[nodiscard]] Outcome shell(const std::string& command, const std::string& environment = "") const {
    write("command.sh", command + "\n");
    const std::string line = "cd '" + folder.string() + "' && env -i PATH=\"$PATH\" HOME='" + folder.string() +
                             "' NO_COLOR=1 LC_ALL=C PROGRAM='" STEELYARD_PROGRAM "' " + environment +
                             " bash command.sh >out.txt 2>err.txt </dev/null";
    const int status = std::system(line.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, read("out.txt"), read("err.txt")};
  }
  /// Runs and expects success.
  std::string ok(const std::string& arguments, const std::string& environment = "") const {
    const Outcome outcome = run(arguments, environment);
    EXPECT_EQ(outcome.status, 0) << arguments << "\n" << outcome.err;
    return outcome.out;
  }
  void expect_failure(const std::string& arguments, int status, const std::string& err) const {
    const Outcome outcome = run(arguments);
    EXPECT_EQ(outcome.status, status) << arguments;
    EXPECT_EQ(outcome.err, err) << arguments;
    EXPECT_EQ(outcome.out, "") << arguments;
  }

  std::filesystem::path folder;
};

}  // namespace steelyard::cli
