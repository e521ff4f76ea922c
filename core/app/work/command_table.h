#pragma once

#include <functional>
#include <map>
#include <string>

#include <nlohmann/json.hpp>

#include "app/work/workspace.h"

namespace intercusp {

using Json = nlohmann::json;

struct Command {
  std::function<Result<Json>(Workspace&, const Json&)> act;
  bool needs_case = true;
};

void add_case_commands(std::map<std::string, Command>& table);
void add_plan_commands(std::map<std::string, Command>& table);
void add_cut_commands(std::map<std::string, Command>& table);
void add_target_commands(std::map<std::string, Command>& table);
void add_view_commands(std::map<std::string, Command>& table);
void add_landmark_commands(std::map<std::string, Command>& table);
void add_face_commands(std::map<std::string, Command>& table);
void add_zone_commands(std::map<std::string, Command>& table);
void add_ruler_commands(std::map<std::string, Command>& table);
void add_condyle_commands(std::map<std::string, Command>& table);
void add_proposal_commands(std::map<std::string, Command>& table);
void add_panel_commands(std::map<std::string, Command>& table);
void add_number_commands(std::map<std::string, Command>& table);
void add_practice_commands(std::map<std::string, Command>& table);
void add_class_commands(std::map<std::string, Command>& table);
void add_review_commands(std::map<std::string, Command>& table);
void add_remark_commands(std::map<std::string, Command>& table);
void add_splint_commands(std::map<std::string, Command>& table);
void add_plans_beside_commands(std::map<std::string, Command>& table);
void add_feasibility_commands(std::map<std::string, Command>& table);
void add_sheet_commands(std::map<std::string, Command>& table);
/// The case id as the stem of a file name.
std::string file_stem(const Workspace& w);
/// The selection of rows that an earlier visit kept.
void read_hidden_rows(Workspace& w);

/// The answer of a command that has nothing to tell.
inline Result<Json> nothing() {
  return Json::object();
}
inline Result<Json> from(const Status& status) {
  if (!status) return status.error();
  return Json::object();
}

}  // namespace intercusp
