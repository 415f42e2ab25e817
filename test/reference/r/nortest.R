source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))

run(list(
  normality = function(g) {
    x <- numbers(g$values)
    shapiro <- shapiro.test(x)
    anderson <- nortest::ad.test(x)
    list(w = shapiro$statistic, wP = shapiro$p.value, a = anderson$statistic, aP = anderson$p.value)
  }
), "nortest")
