#pragma once

#include <imgui.h>

#include "app/panels/panels.h"
#include "practice/marking.h"

namespace intercusp {

/// The question, and the controls of its answer. Inside the panel on the left.
void practice_question(Workspace& w);
/// How the answer was marked, with what was meant and by whose definition.
void practice_marking(Workspace& w);
/// A verdict by its form, so that no colour is needed: a tick, a ring, a cross; about 14 logical pixels at `scale` 1.
void put_verdict(ImDrawList* list, ImVec2 middle, Verdict verdict, float scale);
/// The session's report.
void practice_report(Workspace& w);
/// At the end of a teacher's set: passing the result on.
void practice_hand_in(Workspace& w);
/// What the question marks on the model, and after the answer its construct, on every view.
void practice_overlay(Workspace& w);

}  // namespace intercusp
