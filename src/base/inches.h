// Lengths in feet and inches, as a tape shows them.
#pragma once
#include <string>

namespace rakelight {

/// Feet, whole inches and a fraction in lowest terms, to the nearest of `parts` of an inch (a power of two): 8' 6-1/2", 7/8", 5'.
/// Without feet under a foot; 0". Negative lengths have their sign in front.
std::string feet_text(double metres, int parts = 16);
/// The same without feet: 102-1/2".
std::string inches_text(double metres, int parts = 16);

}  // namespace rakelight
