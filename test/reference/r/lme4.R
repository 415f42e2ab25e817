source(file.path(dirname(sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))), "common.R"))
suppressMessages(library(lmerTest))

run(list(
  "mixed-model" = function(g) {
    data <- data.frame(y = numbers(g$response), g = unlist(g$group))
    for (name in names(g$fixed)) data[[name]] <- numbers(g$fixed[[name]])
    formula <- as.formula(paste("y ~", paste(c("1", names(g$fixed)), collapse = " + "), "+ (1 | g)"))
    control <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10), check.conv.singular = "ignore")
    model <- lmer(formula, data, REML = TRUE, control = control)
    table <- coef(summary(model))
    parts <- as.data.frame(VarCorr(model))$sdcor
    list(
      fixed = table[, "Estimate"], standardErrors = table[, "Std. Error"], sds = parts, remlCriterion = REMLcrit(model),
      df = table[, "df"]
    )
  }
), c("lme4", "lmerTest"))
