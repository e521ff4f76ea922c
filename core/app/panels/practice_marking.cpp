// What an answer was worth, and why.
#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "app/panels/practice_panel.h"
#include "app/theme.h"
#include "app/view/camera.h"
#include "app/view/pick.h"
#include "app/view/screen_place.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/practice.h"
#include "practice/words.h"

namespace intercusp {

namespace {

ImU32 verdict_ink(Verdict verdict) {
  const Theme& t = theme();
  return verdict == Verdict::right ? t.usual_text : verdict == Verdict::near ? t.gap_text : t.overlap_text;
}

/// Form beside the word.
void draw_verdict(const Mark& mark) {
  const Verdict verdict = mark.verdict;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  put_verdict(ImGui::GetWindowDrawList(), {at.x + px(9), at.y + 0.5f * fonts().heading->FontSize}, verdict, 1);
  ImGui::SetCursorScreenPos({at.x + px(26), at.y});
  ui::paragraph(fonts().heading, verdict_ink(verdict), shown_verdict(verdict, mark.credit));
}

void practice_labelled(const char* label, const std::string& words) {
  if (words.empty()) return;
  ui::gap_above(6);
  ui::paragraph(fonts().small_strong, theme().soft, label);
  ui::paragraph(fonts().body, theme().text, words.c_str());
}

/// How one's readings of this kind are off: a small plot, zero in the middle.
void calibration_plot(const std::vector<double>& offs) {
  const Theme& t = theme();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x, h = px(28), middle = at.x + 0.5f * width, y = at.y + 0.5f * h;
  ImDrawList* list = ImGui::GetWindowDrawList();
  constexpr double kShownMm = 4;
  const auto place = [&](double mm) {
    return middle + static_cast<float>(std::clamp(mm / kShownMm, -1.0, 1.0)) * (0.5f * width - px(6));
  };
  list->AddLine({at.x, y}, {at.x + width, y}, t.line, px(1));
  for (int mm = -4; mm <= 4; ++mm)
    list->AddLine({place(mm), y - px(mm == 0 ? 9 : 4)}, {place(mm), y + px(mm == 0 ? 9 : 4)}, mm == 0 ? t.text : t.soft,
                  px(1));
  for (const double off : offs) list->AddCircleFilled({place(off), y}, px(3), with_alpha(t.accent, 0.6f), 12);
  ImGui::Dummy({width, h});
  ui::note_rect("practice.plot", at, {at.x + width, at.y + h});
}

void practice_calibration(const PracticeState& p) {
  const QuestionKind kind = p.question->spec.kind;
  const std::string words = calibration_words(kind, p.progress.calibration(kind));
  if (words.empty()) return;
  ui::gap_above(8);
  ui::paragraph(fonts().small_strong, theme().soft, "Your readings so far, against the truth (one mark a millimetre)");
  calibration_plot(p.progress.offs(kind));
  ui::paragraph(fonts().small, theme().text, words.c_str());
}

void practice_draw_ring(ImDrawList* list, ImVec2 c, ImU32 ink) {
  list->AddCircle(c, px(11), theme().panel, 28, px(5));
  list->AddCircle(c, px(11), ink, 28, px(2.5f));
}

/// A ring with a word beside it: rings that differ in colour alone are not told apart by everybody.
struct WordedRing {
  ImVec2 middle;
  ImU32 ink;
  const char* word;
};

/// Whether another ring stands so near on the right that a word there would be covered.
bool crowded_on_the_right(const std::vector<WordedRing>& rings, std::size_t i) {
  const ImVec2 c = rings[i].middle;
  for (std::size_t k = 0; k < rings.size(); ++k) {
    const float right = rings[k].middle.x - c.x, below = std::abs(rings[k].middle.y - c.y);
    const bool beside = right > 0 || (right == 0 && k > i);
    if (k != i && beside && right < px(100) && below < px(24)) return true;
  }
  return false;
}

void draw_rings(const View& v, ImDrawList* list, const std::vector<WordedRing>& rings) {
  for (const WordedRing& ring : rings) practice_draw_ring(list, ring.middle, ring.ink);
  for (std::size_t i = 0; i < rings.size(); ++i) {
    const WordedRing& ring = rings[i];
    const float width = ui::text_width(fonts().small_strong, ring.word), tall = fonts().small_strong->FontSize;
    const bool leftwards = crowded_on_the_right(rings, i) || ring.middle.x + px(18) + width > v.rect.x + v.rect.w;
    const float x = ring.middle.x + (leftwards ? -px(15) - width : px(15));
    const ImVec2 from{x, ring.middle.y - 0.5f * tall};
    list->AddRectFilled({from.x - px(3), from.y - px(1)}, {from.x + width + px(3), from.y + tall + px(1)},
                        theme().panel, px(3));
    ui::put_text(list, fonts().small_strong, from.x, from.y, ring.ink, ring.word);
  }
}

void put_name(ImDrawList* list, ImVec2 middle, const std::string& name) {
  const float wide = ui::text_width(fonts().small_strong, name), tall = fonts().small_strong->FontSize;
  const ImVec2 from{middle.x - 0.5f * wide, middle.y - 0.5f * tall};
  list->AddRectFilled({from.x - px(3), from.y - px(1)}, {from.x + wide + px(3), from.y + tall + px(1)}, theme().panel,
                      px(3));
  ui::put_text(list, fonts().small_strong, from.x, from.y, theme().text, name);
}

/// A line between two points that its label names with a letter each.
void draw_named_line(const View& v, ImDrawList* list, const Construct& line) {
  const ImVec2 a = screen_place(v, line.points[0]), b = screen_place(v, line.points[1]);
  list->AddLine(a, b, theme().accent, px(2.5f));
  if (line.label.size() != 2) return;
  put_name(list, {a.x, a.y - px(14)}, line.label.substr(0, 1));
  put_name(list, {b.x + px(14), b.y}, line.label.substr(1));
}

/// A pair of teeth, with the number of the upper one; on the far side of the jaw it would lie over other teeth.
void draw_pair(const View& v, ImDrawList* list, const Construct& pair) {
  constexpr double kBeside = 0.3;  // of the direction one looks in
  const double from_side = v.camera.towards_viewer().x();
  if (v.shown != Shown::all || (std::abs(from_side) > kBeside && from_side * pair.points[0].x() < 0)) return;
  const ImVec2 a = screen_place(v, pair.points[0]), b = screen_place(v, pair.points[1]);
  list->AddLine(a, b, with_alpha(theme().panel, 0.8f), px(5));
  list->AddLine(a, b, theme().accent, px(2.5f));
  for (const ImVec2& end : {a, b}) list->AddCircleFilled(end, px(3.5f), theme().accent);
  // From the front all pairs of a side lie behind one another.
  if (std::abs(from_side) > kBeside)
    put_name(list, {a.x, a.y - px(8) - 0.5f * fonts().small_strong->FontSize}, pair.label);
}

/// Only what no measure draws: the explanation draws the others. Gives the rings of it.
std::vector<WordedRing> draw_own_construct(const PracticeState& p, const View& v, ImDrawList* list,
                                           const std::function<bool(const Vec3&)>& seen) {
  std::vector<WordedRing> rings;
  if (!p.mark || !p.question->measure.empty()) return rings;
  for (const Construct& c : p.question->construct) {
    if (c.points.size() == 1 && seen(c.points[0]))
      rings.push_back({screen_place(v, c.points[0]), theme().usual_text, "meant"});
    if (c.kind == "distance") draw_pair(v, list, c);
    if (c.kind == "line") draw_named_line(v, list, c);
  }
  return rings;
}

/// Where it is on every screen, however long the explanation below it.
void next_button(Workspace& w) {
  const PracticeState& p = *w.practice;
  const bool last = p.at + 1 >= static_cast<std::size_t>(p.set.count);
  ui::gap_above(4);
  if (ui::button("practice.next", last ? "To the report" : "Next question", {ui::Weight::primary}))
    run(w, "practice_next");
}

/// The point of an answer in the making; nothing where none is placed.
std::optional<Vec3> point_in_the_making(const Workspace& w) {
  const PracticeState& p = *w.practice;
  if (p.mark || p.question->landmark.empty()) return std::nullopt;
  const auto placed = w.now().landmarks.find(p.question->landmark);
  if (placed == w.now().landmarks.end()) return std::nullopt;
  return w.now().patient_from_scans * placed->second.at;
}

}  // namespace

void put_verdict(ImDrawList* list, ImVec2 middle, Verdict verdict, float scale) {
  const float x = middle.x, y = middle.y, one = scale * px(1), line = std::max(1.5f, 2.5f * one);
  const ImU32 ink = verdict_ink(verdict);
  if (verdict == Verdict::right) {
    const ImVec2 tick[] = {{x - 7 * one, y}, {x - 2 * one, y + 5 * one}, {x + 7 * one, y - 6 * one}};
    list->AddPolyline(tick, 3, ink, 0, line);
  } else if (verdict == Verdict::near) {
    list->AddCircle(middle, 6 * one, ink, 24, line);
  } else {
    list->AddLine({x - 6 * one, y - 6 * one}, {x + 6 * one, y + 6 * one}, ink, line);
    list->AddLine({x - 6 * one, y + 6 * one}, {x + 6 * one, y - 6 * one}, ink, line);
  }
}

void practice_marking(Workspace& w) {
  const PracticeState& p = *w.practice;
  const PracticeQuestion& q = *p.question;
  ui::gap_above(10);
  draw_verdict(*p.mark);
  next_button(w);
  practice_labelled("Your answer", p.mark->seen);
  practice_labelled("It is", p.mark->meant);
  if (p.mark->credit > 0 && p.mark->credit < 1)
    practice_labelled("Counts", short_number(100 * p.mark->credit, 0) + " % of a right answer");
  practice_labelled("Marking", p.mark->why);
  practice_labelled("Note", q.note);
  practice_labelled("Definition", q.definition);
  practice_labelled("Source", q.source);
  practice_calibration(p);
}

namespace {

/// The end of a graded set: there is nothing to report but that all is there.
void graded_report(Workspace& w) {
  const PracticeState& p = *w.practice;
  const auto none = static_cast<std::size_t>(
      std::count_if(p.given.begin(), p.given.end(), [](const GivenAnswer& given) { return given.text.empty(); }));
  ui::paragraph(
      fonts().heading, theme().text,
      (std::to_string(p.given.size() - none) + " of " + std::to_string(p.given.size()) + " answered").c_str());
  ui::gap_above(6);
  const bool there = p.hand_in.sent == PracticeState::HandIn::Sent::yes;
  ui::paragraph(
      fonts().body, theme().text,
      there ? "Your teacher has your answers, and marks them. You can leave."
            : "Hand your answers in: without that your teacher does not have them. The marks come from your teacher.");
  ui::gap_above(10);
  practice_hand_in(w);
}

/// The questions of the session, each with its verdict, what was answered, and what is so where that was not right.
void marked_list(const PracticeState& p) {
  ui::gap_above(10);
  ui::paragraph(fonts().small_strong, theme().soft, "Question by question");
  for (std::size_t i = 0; i < p.marked.size(); ++i) {
    const MarkedAnswer& one = p.marked[i];
    ui::gap_above(6);
    const ImVec2 at = ImGui::GetCursorScreenPos();
    put_verdict(ImGui::GetWindowDrawList(), {at.x + px(7), at.y + 0.5f * fonts().body->FontSize}, one.verdict, 0.8f);
    ImGui::Indent(px(22));
    ui::paragraph(fonts().body, theme().text,
                  (std::to_string(i + 1) + ". " + one.skill + ": " + shown_verdict(one.verdict, one.credit)).c_str());
    const auto sentence = [](const std::string& words) { return words + (words.back() == '.' ? "" : "."); };
    const std::string answered = one.seen.empty() ? "Not answered." : sentence("You: " + one.seen);
    const std::string so = one.verdict == Verdict::right ? "" : " " + sentence("It is: " + one.meant);
    ui::paragraph(fonts().small, theme().soft, (answered + so).c_str());
    ImGui::Unindent(px(22));
  }
}

}  // namespace

void practice_report(Workspace& w) {
  const PracticeState& p = *w.practice;
  if (p.ticket) return graded_report(w);
  ui::paragraph(fonts().heading, theme().text,
                (short_number(p.credit) + " of " + std::to_string(p.given.size())).c_str());
  ui::gap_above(6);
  ui::paragraph(fonts().small, theme().text, p.report.c_str());
  ui::gap_above(10);
  if (!p.code.empty()) practice_hand_in(w);
  if (p.code.empty()) {
    nlohmann::json kinds = nlohmann::json::array();
    for (const QuestionKind kind : p.set.kinds) kinds.push_back(info_of(kind).id);
    if (ui::button("practice.again", "Ten more", {ui::Weight::primary})) {
      run(w, "practice", {{"kinds", kinds}, {"seed", p.set.seed}});
      return;
    }
    ui::gap_above(4);
    // Of the answers' number, so that each session gives another set.
    const auto seed = 1 + p.progress.answers().size();
    if (ui::button("practice.set", "Copy a link to such a set"))
      run(w, "practice_set", {{"kinds", kinds}, {"seed", seed}, {"copy", true}});
  }
  ui::gap_above(4);
  if (ui::button("practice.keep", "Save my progress")) run(w, "practice_keep");
  marked_list(p);
}

void practice_overlay(Workspace& w) {
  const PracticeState& p = *w.practice;
  if (!p.question || !w.has_case) return;
  ImDrawList* list = ImGui::GetBackgroundDrawList();
  for (std::size_t i = 0; i < w.views.size(); ++i) {
    const View& v = w.views[i];
    // In several pictures a ring on the far side would lie on another tooth.
    const auto seen = [&](const Vec3& at) { return w.views.size() == 1 || visible(w, i, at); };
    list->PushClipRect({v.rect.x, v.rect.y}, {v.rect.x + v.rect.w, v.rect.y + v.rect.h});
    if (p.question->marked && seen(*p.question->marked))
      practice_draw_ring(list, screen_place(v, *p.question->marked), theme().accent);
    std::vector<WordedRing> rings = draw_own_construct(p, v, list, seen);
    if (const auto point = point_in_the_making(w); point && seen(*point))
      rings.push_back({screen_place(v, *point), theme().accent, "your point"});
    if (p.placed && seen(*p.placed))
      rings.push_back({screen_place(v, *p.placed), verdict_ink(p.mark->verdict), "your point"});
    draw_rings(v, list, rings);
    list->PopClipRect();
  }
}

}  // namespace intercusp
