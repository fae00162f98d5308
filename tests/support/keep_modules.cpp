// Under the sanitisers alone: libraries stay loaded until the program ends. The leak checker runs last, and could not name a driver that is
// gone by then, so that nothing in tests/sanitisers/leaks.txt would fit it.
extern "C" int dlclose(void*) { return 0; }
