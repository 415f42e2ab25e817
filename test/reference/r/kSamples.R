source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))

run(list(
  "same-population" = function(g) {
    # Version 1 counts from the right, version 2 by midranks.
    ad <- kSamples::ad.test(groups_of(g$groups))$ad
    list(statistic = ad[, 1], normalised = ad[, 2])
  }
), "kSamples")
