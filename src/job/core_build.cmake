# Writes OUT, a header with the hash of the library LIB: what was computed by another build is not taken from a
# cache.
file(SHA256 "${LIB}" hash)
file(WRITE "${OUT}" "#define CRANKNOTE_CORE_BUILD \"${hash}\"\n")
