source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))

run(list(
  "equal-spread" = function(g) {
    values <- groups_of(g$groups)
    data <- data.frame(y = unlist(values), g = factor(rep(seq_along(values), lengths(values))))
    levene <- car::leveneTest(y ~ g, data, center = median)
    bartlett <- if (all(sapply(values, var) > 0)) bartlett.test(y ~ g, data)
    list(
      brownForsythe = c(levene[1, "F value"], levene[1, "Pr(>F)"]),
      bartlett = if (!is.null(bartlett)) c(bartlett$statistic, bartlett$p.value)
    )
  }
), "car")
