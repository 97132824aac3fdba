#pragma once
/// The program from its arguments to its exit status.

namespace steelyard::cli {

[[nodiscard]] int run_program(int argc, const char* const* argv);

}  // namespace steelyard::cli
