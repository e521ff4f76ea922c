// Answers as they are typed, and in words.
#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdlib>
#include <locale>
#include <sstream>

#include "anatomy/notation.h"
#include "practice/marking.h"
#include "practice/words.h"

namespace intercusp {

namespace {

std::string trimmed_lower(const std::string& text) {
  std::string out;
  for (const char c : text) out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const auto space = [](unsigned char c) { return std::isspace(c); };
  out.erase(out.begin(), std::find_if_not(out.begin(), out.end(), space));
  while (!out.empty() && space(static_cast<unsigned char>(out.back()))) out.pop_back();
  return out;
}

Error not_understood(const PracticeQuestion& question, const std::string& text) {
  return Error{"\"" + text.substr(0, 60) + "\" is not an answer to this question", "",
               "answer with " + how_to_answer(question)};
}

/// Every number in the text, in order; nothing where a sign of another kind stands in a number.
std::vector<double> numbers_in(std::string text) {
  for (std::size_t i = 1; i + 1 < text.size(); ++i)
    if (text[i] == ',' && std::isdigit(static_cast<unsigned char>(text[i - 1])) &&
        std::isdigit(static_cast<unsigned char>(text[i + 1])))
      text[i] = '.';
  for (char& c : text)
    if (!std::isdigit(static_cast<unsigned char>(c)) && c != '.' && c != '-' && c != '+') c = ' ';
  std::vector<double> out;
  std::istringstream in(text);
  in.imbue(std::locale::classic());
  for (double value = 0; in >> value;) out.push_back(value);
  return out;
}

bool says(const std::string& text, const std::string& word) {
  return !word.empty() && text.find(word) != std::string::npos;
}

Result<PracticeAnswer> read_choice(const PracticeQuestion& question, const std::string& text) {
  PracticeAnswer answer;
  for (std::size_t i = 0; i < question.choices.size(); ++i) {
    if (text != std::to_string(i + 1) && text != trimmed_lower(question.choices[i].words)) continue;
    answer.choice = i;
    return answer;
  }
  return not_understood(question, text);
}

Result<PracticeAnswer> read_number(const PracticeQuestion& question, const std::string& text) {
  const std::vector<double> found = numbers_in(text);
  if (found.size() != 1 || !std::isfinite(found[0]) || std::abs(found[0]) > 1000) return not_understood(question, text);
  PracticeAnswer answer;
  const bool turned = says(text, question.negative_word);
  answer.number = turned ? -std::abs(found[0]) : found[0];
  return answer;
}

Result<PracticeAnswer> read_teeth(const PracticeQuestion& question, const std::string& text) {
  PracticeAnswer answer;
  if (text == "none" && question.form == AnswerForm::teeth) return answer;
  std::string spaced = text;
  for (char& c : spaced)
    if (!std::isdigit(static_cast<unsigned char>(c))) c = ' ';
  std::istringstream in(spaced);
  for (int tooth = 0; in >> tooth;) {
    const bool possible = question.form == AnswerForm::tooth ? tooth >= 1 && tooth <= 48 : is_permanent_tooth(tooth);
    if (!possible) return not_understood(question, text);
    answer.teeth.push_back(tooth);
  }
  std::sort(answer.teeth.begin(), answer.teeth.end());
  answer.teeth.erase(std::unique(answer.teeth.begin(), answer.teeth.end()), answer.teeth.end());
  if (answer.teeth.empty() || (question.form == AnswerForm::tooth && answer.teeth.size() != 1))
    return not_understood(question, text);
  return answer;
}

}  // namespace

Result<PracticeAnswer> read_answer(const PracticeQuestion& question, const std::string& text) {
  const std::string plain = trimmed_lower(text.substr(0, 400));
  switch (question.form) {
    case AnswerForm::choice:
      return read_choice(question, plain);
    case AnswerForm::number:
      return read_number(question, plain);
    case AnswerForm::tooth:
    case AnswerForm::teeth:
      return read_teeth(question, plain);
    default: {
      const std::vector<double> found = numbers_in(plain);
      if (found.size() != 3) return not_understood(question, plain);
      PracticeAnswer answer;
      answer.at = Vec3(found[0], found[1], found[2]);
      return answer;
    }
  }
}

std::string answer_text(const PracticeQuestion& question, const PracticeAnswer& answer) {
  switch (question.form) {
    case AnswerForm::choice:
      return std::to_string(answer.choice + 1);
    case AnswerForm::number:
      return short_number(answer.number, 3);
    case AnswerForm::tooth:
    case AnswerForm::teeth: {
      std::string text;
      for (const int tooth : answer.teeth) text += (text.empty() ? "" : " ") + std::to_string(tooth);
      return text.empty() ? "none" : text;
    }
    default:
      return short_number(answer.at.x(), 3) + " " + short_number(answer.at.y(), 3) + " " +
             short_number(answer.at.z(), 3);
  }
}

std::string answer_words(const PracticeQuestion& question, const PracticeAnswer& answer) {
  switch (question.form) {
    case AnswerForm::choice:
      return question.choices[answer.choice].words;
    case AnswerForm::number: {
      const std::string& way = answer.number < 0 ? question.negative_word : question.positive_word;
      const std::string amount = short_number(std::abs(answer.number)) + " " + question.unit;
      return answer.number == 0 || way.empty() ? amount : amount + " " + way;
    }
    case AnswerForm::tooth:
    case AnswerForm::teeth:
      return teeth_words(answer.teeth);
    default:
      return short_number((answer.at - question.at).norm()) + " mm away from it";
  }
}

std::string how_to_answer(const PracticeQuestion& question) {
  switch (question.form) {
    case AnswerForm::choice:
      return "a number from 1 to " + std::to_string(question.choices.size());
    case AnswerForm::number:
      return question.negative_word.empty()
                 ? "millimetres"
                 : "millimetres, and the word " + question.positive_word + " or " + question.negative_word;
    case AnswerForm::tooth:
      return "the number of a tooth";
    case AnswerForm::teeth:
      return "the numbers of the teeth, or none";
    default:
      return "x y z in mm (patient's left, backwards, up)";
  }
}

}  // namespace intercusp
