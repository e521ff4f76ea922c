// The teacher's page as state() gives it.
#include "app/work/class_work.h"
#include "app/work/command_table.h"

namespace intercusp {

namespace {

Json results_json(const ClassWork& c) {
  Json j = {{"set", c.set_text},    {"marking", c.marking},      {"questions_made", c.questions.size()},
            {"fetched", c.fetched}, {"troubles", Json::array()}, {"one_hand", c.one_hand}};
  if (c.lines) {
    j["repeated"] = c.lines->repeated;
    j["without_code"] = c.lines->without_code;
    for (const LineTrouble& trouble : c.lines->troubles)
      j["troubles"].push_back({{"line", trouble.line}, {"words", trouble_words(trouble)}});
  }
  if (!c.gathered) return j;
  j["questions"] = j["students"] = Json::array();
  for (const QuestionSummary& s : c.gathered->summaries)
    j["questions"].push_back(
        {{"right", s.right}, {"near", s.near}, {"wrong", s.wrong}, {"usual_wrong", s.usual_wrong}});
  for (const MarkedResult& r : c.gathered->results) {
    Json credits = Json::array();
    for (const Mark& mark : r.marks) credits.push_back(mark.credit);
    j["students"].push_back({{"by", r.by}, {"key", signer_words(r)}, {"credit", r.credit}, {"credits", credits}});
  }
  return j;
}

}  // namespace

Json class_json(const Workspace& w) {
  const ClassWork& c = *w.class_work;
  Json kinds = Json::array(), earlier = Json::array();
  for (const QuestionKind kind : c.draft.kinds) kinds.push_back(info_of(kind).id);
  for (const MadeSet& set : c.earlier)
    earlier.push_back({{"title", set.title}, {"code", set.code}, {"inbox", !set.inbox.empty()}});
  const SetDraft& d = c.draft;
  return {{"page", c.page == ClassPage::make ? "make" : "results"},
          {"draft",
           {{"title", d.title},
            {"seed", d.seed},
            {"count", d.count},
            {"kinds", kinds},
            {"difficulty", d.difficulty},
            {"seconds", d.seconds},
            {"tools", tools_id(d.tools)},
            {"graded", d.graded},
            {"inbox", d.inbox},
            {"days", d.days}}},
          {"set", c.made_code},
          {"link", class_link(w)},
          {"asking_inbox", c.asking_server},
          {"inbox_trouble", c.server_trouble},
          {"earlier", earlier},
          {"results", results_json(c)}};
}

}  // namespace intercusp
