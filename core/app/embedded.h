#pragma once

namespace intercusp::embedded {

// Made at build time by native/setup/embed.py.
extern const unsigned char kInterRegular[];
extern const unsigned kInterRegularSize;
extern const unsigned char kInterSemiBold[];
extern const unsigned kInterSemiBoldSize;

extern const char kBodyVert[];
extern const char kBodyFrag[];
extern const char kScreenVert[];
extern const char kComposeFrag[];
extern const char kOverlapFrag[];
extern const char kPictureFrag[];

}  // namespace intercusp::embedded
