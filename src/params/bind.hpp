#pragma once
/// The keys of each model file, their ranges, and what must agree among them.

#include "params/section.hpp"

namespace steelyard::params {

void bind(Section& top, LoadModel& out);
void bind(Section& top, StrengthModel& out);
void bind(Section& top, DayKindsModel& out);
void bind(Section& top, LimitsModel& out);
void bind(Section& top, LiftsModel& out);
void bind(Section& top, CautionsModel& out);
void bind(Section& top, LearnModel& out);

}  // namespace steelyard::params
