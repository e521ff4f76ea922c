#include "app/panels/number_words.h"

#include <algorithm>
#include <cmath>

#include "app/scene/words.h"

namespace intercusp {

namespace {

const MeasureRow* start_row(const Workspace& w, const MeasureRow& row) {
  const bool moved = w.moved();
  const MeasureRow* start = moved ? w.readings.start().row(row.definition->id) : nullptr;
  return start && start->value ? start : nullptr;
}

bool shows_zero(const std::string& digits) {
  return digits.find_first_of("123456789") == std::string::npos;
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
  BriefNumber n{amount(value.value, decimals_of(d)), value.relation.value_or("")};
  if (!n.side.empty() || shows_zero(n.digits)) return n;
  if (d.sides) n.side = value.value > 0 ? d.sides->above : d.sides->below;
  if (!d.sides && value.value < 0) n.digits = "\xE2\x88\x92" + n.digits;
  return n;
}

BriefNumber brief_change(const MeasureDefinition& d, double change) {
  const bool two_ways = d.sides && !d.sides->above.empty() && !d.sides->below.empty();
  if (!two_ways) return {change_amount(change, decimals_of(d)), ""};
  MeasureValue by;
  by.value = change;
  return brief_number(d, by);
}

std::string measure_words(const MeasureDefinition& d, double value) {
  MeasureValue v;
  v.value = value;
  if (d.group == "incisors" || d.group == "midlines") return in_words(d, v);
  const BriefNumber n = brief_number(d, v);
  const std::string unit = d.unit == "%" ? "\xE2\x80\x89%" : " " + d.unit;
  return n.digits + unit + (n.side.empty() ? "" : " " + n.side);
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
  std::string out = w.now().id + ", " + w.moment_words() + "\n";
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
