#pragma once

#include <string>

#include "app/panels/panels.h"

namespace intercusp {

/// Puts a set together. Inside a panel, as wide as it is.
void class_set_form(Workspace& w);
/// How results come back, and the set made: its link, its code to photograph.
void class_made_set(Workspace& w);
/// Where results come in, and what was wrong with some.
void class_results_in(Workspace& w);
/// What the class answered: the plot of each question, or the table of students; and the sets
/// made here.
void class_results_out(Workspace& w);
void class_question_plot(Workspace& w);
void class_student_table(Workspace& w);

/// A small title over a field.
void class_label(const char* words);
/// Goes on in the same line where this much fits into it.
void stay_in_line_for(float width);

}  // namespace intercusp
