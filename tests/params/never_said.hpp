#pragma once
/// What no text may hold, in lower case: no diagnosis, no promise, no bravado. Common practice in advising without a
/// licence.

#include <array>
#include <string_view>

namespace steelyard::testing {

inline constexpr std::array<std::string_view, 21> k_never_said{"torn",
                                                               "rupture",
                                                               "acl ",
                                                               "meniscus",
                                                               "tendinitis",
                                                               "tendinopathy",
                                                               "slipped disc",
                                                               "herniat",
                                                               "rhabdo",
                                                               "cauda equina",
                                                               "heart attack",
                                                               "concussion",
                                                               "overtraining syndrome",
                                                               "you probably have",
                                                               "you may have",
                                                               "safe to train",
                                                               "injury risk is",
                                                               "will prevent",
                                                               "guarantee",
                                                               "no pain no gain",
                                                               "push through"};

}  // namespace steelyard::testing
