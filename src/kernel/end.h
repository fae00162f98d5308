// Closes what kernel/begin.h opened; no include guard on purpose.
#undef KERNEL
#undef float
#undef vec2
#undef vec3
#undef vec4
#undef mat2
#undef mat3
