// Practice as its own place: questions one after another, over the same view. What was open before is set aside.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "app/work/workspace.h"
#include "practice/progress.h"
#include "practice/set_link.h"
#include "practice/set_result.h"

namespace intercusp {

/// An answer in the making.
struct AnswerDraft {
  int choice = -1;
  double number = 0;
  bool number_set = false;
  std::optional<bool> negative;  ///< the direction, once it is chosen
  std::set<int> teeth;
};

/// An answer that was marked, as the report lists it.
struct MarkedAnswer {
  const char* skill;
  Verdict verdict;
  double credit;
  std::string seen, meant;
};

struct PracticeState {
  QuestionSet set;
  std::string code;  ///< of a teacher's set; empty: questions fit the student's level
  std::vector<QuestionSpec> specs;
  std::string results_of;              ///< see SetLink
  std::optional<GradedTicket> ticket;  ///< of a graded set: its questions come from the server and are not marked here
  std::map<int, std::uint64_t> asked_of_server;  ///< number of a request: that of the question, from 1

  std::size_t at = 0;  ///< number of the question on screen
  std::optional<PracticeQuestion> question;
  std::optional<Mark> mark;
  AnswerDraft draft;
  std::optional<Vec3> placed;  ///< a point answer, as it was given
  double began = 0;            ///< when the question came on screen, on the app's clock
  std::string view_due;        ///< record view to turn to once the views are laid out

  std::vector<GivenAnswer> given;
  std::vector<MarkedAnswer> marked;  ///< one each of `given`; none of a graded set, which is not marked here
  double credit = 0;
  bool finished = false;
  std::string report;  ///< words on the session, once it is finished: they go through all answers, not for every frame

  std::optional<QuestionMade> ready;      ///< the next one, prepared beside the screen
  std::optional<QuestionSpec> preparing;  ///< under way
  std::optional<QuestionSpec> failed;     ///< could not be prepared: not asked for again until its turn comes
  bool waiting = false;                   ///< nothing is on screen yet, a person waits
  std::string trouble;                    ///< why nothing came

  PracticeProgress progress;
  std::size_t first_answer = 0;  ///< of this session in `progress`

  std::string server;                 ///< of the set's link; empty: that of the page
  std::optional<InboxAddress> inbox;  ///< where its teacher wants the results
  /// What is handed in at the end of a teacher's set.
  struct HandIn {
    enum class Sent { no, sending, yes, failed };
    std::string by;              ///< as the student calls himself
    std::string key, signature;  ///< bytes, of the answers as they stand; empty: not signed
    int asked = 0;               ///< number of the signature asked for
    bool signing = false;        ///< it is on its way
    std::size_t answers = 0;     ///< that it is of
    bool copy_due = false, file_due = false, send_due = false;  ///< as soon as it is there
    Sent sent = Sent::no;
    std::string trouble;  ///< why it was not sent
  } hand_in;

  struct Before {
    Document document;
    bool has_case = false, left_open = true, right_open = true, snap = true;
    Moment held = Moment::planned;
    bool tooth_numbers = false, gap_on = false, from_start = false;
    std::string plan, layout;
    Stop stop = Stop::movement;
    int guide = -1;
    std::uint64_t saved_revision = 0;
    bool keeps_nothing = false;
    std::map<std::string, bool> locked;
    Seating seating;
    SplintWork splint;
    PaintedZones zones;
  } before;
};

/// Begins practice with a teacher's set, or, where the link has no code, with questions that fit the student.
Status begin_practice(Workspace& w, SetLink link);
/// A set's code or link. Error when it is no set of this version.
Status begin_set(Workspace& w, const std::string& link);
void leave_practice(Workspace& w);

/// Asks again for a question that did not come.
Status bring_again(Workspace& w);
/// A question under way is there, or an Error why not.
Status take_question_made(Workspace& w, const QuestionSpec& spec, ErrandAnswer& answer);

/// Marks the question on screen, or keeps the answer where the set is graded; text as read_answer reads it.
Status answer_question(Workspace& w, const std::string& text);
/// Takes the answers of a progress file in, beside those kept here.
Status join_progress(Workspace& w, const std::string& text);
/// From now on a click places the point that is asked for, or corrects it.
void take_up_point(Workspace& w);
/// Whether the number of the draft waits for its direction: none is chosen for a student.
bool lacks_direction(const PracticeState& p);
/// The answer in the making as text; empty while nothing was chosen.
std::string draft_text(const Workspace& w);
Status next_question(Workspace& w);
/// Prepares the next question beside the screen, and ends a question whose time is over. Once a frame.
void tend_practice(Workspace& w);

/// Whether the reading of the bite is hidden: a question is open.
bool practice_hides_reading(const Workspace& w);
/// Whether the views stay as they are.
bool practice_holds_views(const Workspace& w);
/// Whether the tools over the view may be used.
bool practice_allows_tools(const Workspace& w);

/// For state(): {"number","count","question","mark","key","waiting","ready","finished","credit"}, "graded" and
/// "trouble" where there are, at the end of a set "hand_in": {"by","signed","key","inbox","sent"}.
nlohmann::json practice_json(const Workspace& w);

}  // namespace intercusp
