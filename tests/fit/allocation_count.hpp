#pragma once
/// Counts allocations of the whole test program, so that a test can claim that a call makes none.

namespace steelyard::fit {

[[nodiscard]] long allocations_so_far();

}  // namespace steelyard::fit
