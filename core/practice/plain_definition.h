#pragma once

#include <string>

#include "practice/kinds.h"

namespace intercusp {

/// What a kind of question is about, in a student's words: one to four sentences, the trade's word first and the plain
/// one in brackets where it may be new. The exact construct, with its points and its frame, is the measure's own
/// definition (docs/methods.md); it stands behind its row in the reading.
const char* plain_definition(QuestionKind kind);

}  // namespace intercusp
