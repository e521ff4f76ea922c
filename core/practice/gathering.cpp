#include "practice/gathering.h"

#include <algorithm>
#include <map>

#include "base/fingerprint.h"
#include "practice/words.h"

namespace intercusp {

namespace {

Mark mark_given(const PracticeQuestion& question, const GivenAnswer& given, const Result<PracticeAnswer>& answer) {
  if (answer) return mark_answer(question, answer.value());
  Mark mark;
  mark.seen = given.text.empty() ? "not answered" : "not readable";
  mark.meant = question.truth_words;
  return mark;
}

QuestionSummary summary_of(const std::vector<MarkedResult>& results, std::size_t i) {
  QuestionSummary summary;
  std::map<std::string, std::size_t> wrong;
  for (const MarkedResult& result : results) {
    const Mark& mark = result.marks[i];
    summary.right += mark.verdict == Verdict::right;
    summary.near += mark.verdict == Verdict::near;
    summary.wrong += mark.verdict == Verdict::wrong;
    // What was not answered or not readable is no answer that a class usually gives.
    if (mark.verdict == Verdict::wrong && result.read[i]) ++wrong[mark.seen];
  }
  const auto most =
      std::max_element(wrong.begin(), wrong.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  if (most != wrong.end()) summary.usual_wrong = most->first;
  return summary;
}

/// Quoted; a field that a spreadsheet would take for a formula gets an apostrophe.
std::string csv_quoted(const std::string& text) {
  std::string out = "\"";
  if (!text.empty() && std::string("=+-@").find(text[0]) != std::string::npos) out += '\'';
  for (const char c : text) out += c == '"' ? "\"\"" : std::string(1, c == '\n' ? ' ' : c);
  return out + "\"";
}

}  // namespace

GatheredSet gather(std::vector<PracticeQuestion> questions, const std::vector<SetResult>& results) {
  GatheredSet gathered;
  gathered.questions = std::move(questions);
  for (const SetResult& result : results) {
    MarkedResult row;
    row.by = result.by;
    row.key = result.key;
    for (std::size_t i = 0; i < gathered.questions.size(); ++i) {
      const GivenAnswer given = i < result.answers.size() ? result.answers[i] : GivenAnswer{};
      const auto answer = read_answer(gathered.questions[i], given.text);
      row.read.push_back(answer.ok());
      row.marks.push_back(mark_given(gathered.questions[i], given, answer));
      row.seconds.push_back(given.seconds);
      row.credit += row.marks.back().credit;
    }
    gathered.results.push_back(std::move(row));
  }
  for (std::size_t i = 0; i < gathered.questions.size(); ++i)
    gathered.summaries.push_back(summary_of(gathered.results, i));
  return gathered;
}

std::string signer_words(const MarkedResult& result) {
  return result.key.empty() ? "unsigned" : fingerprint_of(result.key);
}

std::vector<std::vector<std::size_t>> rows_of_one_hand(const GatheredSet& gathered) {
  std::map<std::string, std::vector<std::size_t>> rows;
  for (std::size_t i = 0; i < gathered.results.size(); ++i)
    if (!gathered.results[i].key.empty()) rows[gathered.results[i].key].push_back(i + 1);
  std::vector<std::vector<std::size_t>> several;
  for (const auto& [key, list] : rows)
    if (list.size() > 1) several.push_back(list);
  std::sort(several.begin(), several.end());
  return several;
}

std::vector<std::string> one_hand_words(const GatheredSet& gathered) {
  std::vector<std::string> out;
  for (const std::vector<std::size_t>& rows : rows_of_one_hand(gathered)) {
    std::string numbers, names;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const std::string& by = gathered.results[rows[i] - 1].by;
      numbers += (i == 0 ? "" : i + 1 == rows.size() ? " and " : ", ") + std::to_string(rows[i]);
      names += (i == 0 ? "" : ", ") + (by.empty() ? "no name" : by);
    }
    out.push_back("rows " + numbers + " (" + names + ") were signed with one key, " +
                  signer_words(gathered.results[rows[0] - 1]) + ": they come from one browser or program");
  }
  return out;
}

std::string gathered_csv(const GatheredSet& gathered) {
  std::string text = "by,question,kind,seed,difficulty,answer,truth,verdict,credit,seconds,key\n";
  for (const MarkedResult& result : gathered.results)
    for (std::size_t i = 0; i < result.marks.size(); ++i) {
      const QuestionSpec& spec = gathered.questions[i].spec;
      const Mark& mark = result.marks[i];
      text += csv_quoted(result.by) + "," + std::to_string(i + 1) + "," + info_of(spec.kind).id + "," +
              std::to_string(spec.seed) + "," + std::to_string(spec.difficulty) + "," + csv_quoted(mark.seen) + "," +
              csv_quoted(mark.meant) + "," + verdict_word(mark.verdict) + "," + short_number(mark.credit) + "," +
              short_number(result.seconds[i]) + "," + signer_words(result) + "\n";
    }
  return text;
}

std::string gathered_text(const GatheredSet& gathered) {
  std::string text;
  for (std::size_t i = 0; i < gathered.questions.size(); ++i) {
    const QuestionSummary& s = gathered.summaries[i];
    text += "Question " + std::to_string(i + 1) + " (" + info_of(gathered.questions[i].spec.kind).skill +
            "): " + std::to_string(s.right) + " right, " + std::to_string(s.near) + " near, " +
            std::to_string(s.wrong) + " wrong";
    if (!s.usual_wrong.empty()) text += "; usual wrong answer: " + s.usual_wrong;
    text += "\n";
  }
  for (const MarkedResult& result : gathered.results)
    text += (result.by.empty() ? "(no name)" : result.by) + ": " + short_number(result.credit) + " of " +
            std::to_string(result.marks.size()) + ", " +
            (result.key.empty() ? "unsigned" : "key " + signer_words(result)) + "\n";
  for (const std::string& words : one_hand_words(gathered)) text += "Note: " + words + "\n";
  return text;
}

}  // namespace intercusp
