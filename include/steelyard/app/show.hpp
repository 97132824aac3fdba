#pragma once
/// Answers as text, JSON and CSV: the programs reach the report room through this header.

#include "steelyard/report/ahead.hpp"
#include "steelyard/report/calendar.hpp"
#include "steelyard/report/chart.hpp"
#include "steelyard/report/csv.hpp"
#include "steelyard/report/html.hpp"
#include "steelyard/report/json.hpp"
#include "steelyard/report/learned.hpp"
#include "steelyard/report/look.hpp"
#include "steelyard/report/text.hpp"
