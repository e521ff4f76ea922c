// A teacher's page: making a set for a class, and gathering its results. It stands in front of the view; what is open
// there stays, and what was pasted here is still there when one comes back.
#pragma once

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "app/work/workspace.h"
#include "practice/gathering.h"
#include "practice/result_lines.h"
#include "practice/set_link.h"

namespace intercusp {

constexpr int kMostInboxDays = 365;

enum class ClassPage { make, results };

/// A set as it is being put together. Numbers are what was typed.
struct SetDraft {
  std::string title, seed, count = "10";
  std::set<QuestionKind> kinds;
  int difficulty = 0, seconds = 0;
  PracticeTools tools = PracticeTools::model;
  bool graded = false;  ///< students get the questions from the server, and neither answers nor marks
  bool inbox = false;   ///< results go to the teacher's inbox on the server
  int days = 30;        ///< that the inbox is kept, and that the server gives questions out
};

/// A set made here earlier.
struct MadeSet {
  std::string title, code;
  std::string inbox;         ///< see inbox_text; empty: results come by hand
  std::int64_t ends_ms = 0;  ///< of the inbox
};

struct ClassWork {
  ClassPage page = ClassPage::make;
  SetDraft draft;
  std::string fragment;  ///< of the set made last, what goes behind '#'; empty: none was
  std::string made_code;
  std::string student_code;      ///< in `fragment`: made_code, or the ticket to a graded set
  bool asking_server = false;    ///< for a ticket or an inbox
  std::string server_trouble;    ///< why there is none
  std::vector<MadeSet> earlier;  ///< kept on this machine, newest first

  std::string set_text;                     ///< code or link of the set whose results are gathered
  std::string results_text;                 ///< as it was pasted, opened and fetched
  SetLink link;                             ///< that `questions`, `lines` and `gathered` belong to
  std::vector<PracticeQuestion> questions;  ///< of link.set, made one after another
  bool marking = false;                     ///< questions or signatures are waited for
  std::optional<ResultLines> lines;
  int check = 0;  ///< number of the question about signatures that is waited for; 0: none is
  bool cannot_check = false;
  std::optional<GatheredSet> gathered;
  std::vector<std::string> one_hand;  ///< see one_hand_words
  bool fetching = false, sure_to_delete = false;
  std::string fetched;  ///< what fetching came to, in words

  bool by_student = false;         ///< the table is shown, not the plot
  std::size_t first_question = 0;  ///< of the table's columns, where not all have room
};

void open_class_page(Workspace& w, ClassPage page);
void leave_class_page(Workspace& w);

/// The set that the draft says. Error in the words of the field that is wrong.
Result<QuestionSet> drafted_set(const SetDraft& draft);
/// A seed that was not used before.
std::string fresh_seed(Workspace& w);
/// Makes the drafted set; with an inbox its link comes later.
Status make_class_set(Workspace& w);
/// The link that students get; empty while there is none.
std::string class_link(const Workspace& w);

/// Adds codes to those that are there; what stands there already is not added again. Gives how many lines were.
std::size_t add_results(Workspace& w, const std::string& text);
/// Reads the results pasted, has their signatures checked and marks them. What is wrong with the set is an Error; what
/// is wrong with a result is said beside the table.
Status gather_class(Workspace& w);
/// Ends waiting where the person stopped what was being done. Once a frame.
void tend_class(Workspace& w);

/// Asks the server for what came into the inbox of the set.
Status fetch_inbox(Workspace& w);
/// Deletes that inbox with all that is in it.
Status delete_inbox(Workspace& w);
/// Answers of the host to what the teacher's page asked; false: it is none.
bool take_class_event(Workspace& w, const std::string& kind, const nlohmann::json& event);

/// For state(): page, draft, set, link, results.
nlohmann::json class_json(const Workspace& w);

}  // namespace intercusp
