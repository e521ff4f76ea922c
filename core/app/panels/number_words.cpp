#include "app/panels/number_words.h"

#include <algorithm>
#include <cmath>

#include "app/panels/words.h"

namespace intercusp {

namespace {

const MeasureRow* start_row(const Workspace& w, const MeasureRow& row) {
  const bool moved = w.moment() == Moment::planned && !w.current_plan()->entries.empty();
  const MeasureRow* start = moved ? w.readings.start().row(row.definition->id) : nullptr;
  return start && start->value ? start : nullptr;
}

std::string padded(const std::string& words, std::size_t width) {
  return words.size() < width ? words + std::string(width - words.size(), ' ') : words + "  ";
}

std::string quoted(const std::string& words) {
  std::string out = "\"";
  for (const char c : words) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

std::string plain_number(double v) {
  return (v < 0 ? "-" : "") + amount(v, 4);
}

}  // namespace

int decimals_of(const MeasureDefinition& d) {
  return d.unit == "%" ? 1 : 2;
}

BriefNumber brief_number(const MeasureDefinition& d, const MeasureValue& value) {
  const double v = value.value;
  BriefNumber n{amount(v, decimals_of(d)), ""};
  n.side = value.relation.value_or("");
  if (!n.side.empty() || n.digits.find_first_of("123456789") == std::string::npos) return n;
  if (d.group == "midlines") n.side = v > 0 ? "L" : "R";
  if (v >= 0 || !n.side.empty()) return n;
  if (d.id == "overjet" || d.group == "curve of Spee")
    n.side = "rev";
  else if (d.id == "overbite" || d.id == "overbite_percent")
    n.side = "open";
  else
    n.digits = "\xE2\x88\x92" + n.digits;
  return n;
}

std::string uncertainty_digits(const MeasureDefinition& d, double sd) {
  const int least = d.unit == "%" ? 0 : 1;
  return amount(sd, sd >= 0.095 || sd < 1e-9 ? least : 2);
}

std::vector<MeasureRow> number_rows(const Workspace& w, bool all) {
  std::vector<MeasureRow> rows = w.readings.now().rows;
  const auto away = [&](const MeasureRow& r) {
    const bool waits = !r.value && r.needs.size() == 1 && !known_landmark(r.needs[0]);
    return waits || (!all && w.rows_hidden.count(r.definition->id));
  };
  rows.erase(std::remove_if(rows.begin(), rows.end(), away), rows.end());
  return rows;
}

std::string numbers_as_text(const Workspace& w) {
  std::string out = w.now().id + (w.moment() == Moment::planned ? ", plan " + w.plan : ", at the start") + "\n";
  for (const MeasureRow& row : number_rows(w, false)) {
    const MeasureDefinition& d = *row.definition;
    out += padded(d.name, 36);
    if (!row.value) {
      out += "not measurable: place " + listed(row.needs, 4) + "\n";
      continue;
    }
    out += in_words(d, *row.value) + " (\xC2\xB1 " + uncertainty_digits(d, row.value->uncertainty) + ")";
    if (const MeasureRow* start = start_row(w, row)) out += "; at the start " + in_words(d, *start->value);
    out += "\n";
  }
  return out;
}

std::string numbers_as_csv(const Workspace& w) {
  std::string out = "measure,unit,start,now,change,standard_deviation,usual_from,usual_to,class,in_words\r\n";
  for (const MeasureRow& row : number_rows(w, false)) {
    const MeasureDefinition& d = *row.definition;
    const MeasureRow* start = start_row(w, row);
    out += d.id + "," + d.unit + ",";
    if (!row.value) {
      out += ",,,,,,," + quoted("not measurable: place " + listed(row.needs, 4)) + "\r\n";
      continue;
    }
    const double now = row.value->value;
    out += (start ? plain_number(start->value->value) : "") + "," + plain_number(now) + ",";
    out += (start ? plain_number(now - start->value->value) : "") + "," + plain_number(row.value->uncertainty) + ",";
    out += d.usual ? plain_number((*d.usual)[0]) + "," + plain_number((*d.usual)[1]) + "," : ",,";
    out += row.value->relation.value_or("") + "," + quoted(in_words(d, *row.value)) + "\r\n";
  }
  return out;
}

}  // namespace intercusp
