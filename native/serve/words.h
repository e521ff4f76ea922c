// Sentences that more than one part of the server says. One close reason holds at most 123 bytes (RFC 6455 5.5.1).
#pragma once

namespace intercusp::serve {

/// For every folder that a token does not open, whatever the reason: whoever asks learns nothing about it.
constexpr char kUnknownWords[] = "No shared case opens with this link. It may have ended, or been withdrawn.";
constexpr char kUnknownSetWords[] = "No graded set opens with this link. Its time is over, or the link is not whole.";
constexpr char kBusyWords[] = "The server has too much to do at the moment. Try again shortly.";
constexpr char kTooManyWords[] = "Too many requests come from this address. Wait a minute and try again.";

}  // namespace intercusp::serve
