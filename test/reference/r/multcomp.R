source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))
suppressMessages(library(multcomp))

# Its integrals are by random points.
set.seed(1)
run(list(
  "tukey-multcomp" = function(g) {
    values <- groups_of(g$groups)
    data <- data.frame(y = unlist(values), g = factor(rep(seq_along(values), lengths(values))))
    test <- summary(glht(aov(y ~ g, data), linfct = mcp(g = "Tukey")))
    # multcomp lists the pairs as we do: 2 - 1, 3 - 1, ..., 3 - 2.
    list(tukeyP = as.numeric(test$test$pvalues))
  }
), "multcomp")
