// The plan as CSV (RFC 4180), one row a pass. The columns are the same for every joint, mode and metal, so that rows of
// different jobs stand in one sheet; a cell is empty where a quantity has no meaning.
// The columns are those of io/plan_columns.hpp.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "present/plan_columns.hpp"
#include "seamwright/plan.hpp"

namespace seamwright {

// `leading` are columns before ours: the keys of a sweep, the columns of a job list.
using CsvCells = std::span<const std::string>;

using CsvColumns = std::span<const PlanColumn>;

void append_csv_header(std::string& out, CsvCells leading, CsvColumns columns);
void append_csv_plan(std::string& out, CsvCells leading, const Plan& plan, Units units, CsvColumns columns);
// A row for a job that could not be solved at all.
void append_csv_error(std::string& out, CsvCells leading, std::string_view message, CsvColumns columns);

// One text cell: quoted where RFC 4180 wants it, and with an apostrophe before what a spreadsheet would run as a
// formula.
void append_csv_text(std::string& out, std::string_view text, char separator = ',');
void append_csv_cell(std::string& out, const Cell& cell);

}  // namespace seamwright
