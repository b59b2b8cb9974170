// Empty: the library headers that the tests share are precompiled for this file, because main.cpp needs
// Catch's differently.
