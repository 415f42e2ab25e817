source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))
suppressMessages(library(lmerTest))

answers <- function(model) {
  table <- coef(summary(model))
  parts <- as.data.frame(VarCorr(model))
  list(
    fixed = table[, "Estimate"], standardErrors = table[, "Std. Error"], sds = parts$sdcor[is.na(parts$var2)],
    remlCriterion = REMLcrit(model), df = table[, "df"]
  )
}
control <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5), check.conv.singular = "ignore")

run(list(
  "mixed-model" = function(g) {
    data <- data.frame(y = numbers(g$response), g = unlist(g$group))
    for (name in names(g$fixed)) data[[name]] <- numbers(g$fixed[[name]])
    formula <- as.formula(paste("y ~", paste(c("1", names(g$fixed)), collapse = " + "), "+ (1 | g)"))
    answers(lmer(formula, data, REML = TRUE, control = control))
  },
  "mixed-model-slopes" = function(g) {
    data <- data.frame(y = numbers(g$response), x = numbers(g$fixed$bury), g = unlist(g$group))
    answers(lmer(y ~ x + (x | g), data, REML = TRUE, control = control))
  },
  "mixed-model-crossed" = function(g) {
    data <- data.frame(y = numbers(g$response), x = numbers(g$fixed$bury), g = unlist(g$group), h = unlist(g$crossed$maker))
    answers(lmer(y ~ x + (1 | g) + (1 | h), data, REML = TRUE, control = control))
  }
), c("lme4", "lmerTest"))
